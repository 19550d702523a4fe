//! A part's wood: a name of the table, or a table of its own.

use crate::diagnostic::Diagnostic;
use crate::input::choice::with_nearest;
use crate::input::quoted::quoted;
use crate::input::table::Table;
use crate::input::value::Value;
use crate::shop::wood::{self, Family, Wood};

pub(super) fn read(value: &Value<'_>) -> Option<Wood> {
    if value.is_table() {
        return described(value.table()?);
    }
    let name = value.string()?.value;
    match wood::find(&name) {
        Ok(wood) => Some(wood),
        Err(nearest) => unknown(value, &name, &nearest),
    }
}

fn unknown<T>(value: &Value<'_>, name: &str, nearest: &[String]) -> Option<T> {
    let message = format!(
        "`{}` is {}, which the wood table does not have",
        value.path,
        quoted(name)
    );
    let diagnostic = Diagnostic::new("unknown-wood", message);
    let by_hand = "give its specific gravity: { name = \"…\", gravity = 0.6 }";
    let diagnostic = with_nearest(diagnostic, nearest);
    let help = match &diagnostic.help {
        Some(nearest) => format!("{nearest} Or {by_hand}"),
        None => by_hand.to_owned(),
    };
    value.report(diagnostic.help(help));
    None
}

fn described(table: Table<'_>) -> Option<Wood> {
    let name = table.value("name");
    let word = name.as_ref().and_then(Value::string);
    let gravity = table.value("gravity");
    let by_hand = gravity.is_some();
    let gravity = gravity.and_then(|value| value.number());
    let moisture = table.number("moisture");
    let grain = table.choice("grain");
    table.close();
    let word = word?;
    let mut wood = match wood::find(&word.value) {
        Ok(wood) => wood,
        Err(_) if by_hand => unlisted(word.value, gravity.as_ref()?.value),
        Err(nearest) => return unknown(&name?, &word.value, &nearest),
    };
    if let Some(gravity) = gravity {
        wood.gravity = gravity.value;
    }
    if let Some(moisture) = moisture {
        wood.moisture = moisture.value;
    }
    wood.grain = grain.unwrap_or_default();
    Some(wood)
}

/// A wood that only the job knows: at 12 % moisture, hard from the specific
/// gravity at which lead holes are drilled as for hardwood (NDS, 0.5).
fn unlisted(name: String, gravity: f64) -> Wood {
    let family = if gravity < 0.5 {
        Family::Softwood
    } else {
        Family::Hardwood
    };
    Wood {
        name,
        family,
        gravity,
        moisture: 12.0,
        grain: wood::Grain::default(),
    }
}
