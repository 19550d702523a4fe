"use strict";
// Without this script every form works by its buttons; with it a field is
// saved when it is left. The page that comes back is merged into the one that
// stands, so that a field somebody is in stays the same element, with its text
// and its selection.
(() => {
  // What was left and is not saved yet, by name. A field that is still typed
  // into is sent as it was: half a number is none.
  const left = new Map();
  let busy = Promise.resolve();
  let running = 0;
  // Nothing moves under a pointer between press and click, or the click is lost.
  let released = Promise.resolve();
  let release = () => {};

  const standing = (one) => {
    // What was refused stands in its field, and the file says something else.
    if (one.dataset.file !== undefined) return one.dataset.file;
    if (one.tagName !== "SELECT") return one.defaultValue;
    const chosen = [...one.options].find((option) => option.defaultSelected) || one.options[0];
    return chosen ? chosen.value : "";
  };
  const fields = (form) => [...form.elements].filter((one) => one.name && one.matches("input, select"));

  const key = (node) => {
    if (!(node instanceof Element)) return node.nodeName;
    const inner = node.matches(".field, fieldset") ? node.querySelector("[id]") : null;
    return `${node.nodeName} ${node.id || (inner && inner.id) || node.name || node.classList[0] || ""}`;
  };

  const mergeField = (old, now, sent) => {
    const typed = sent.has(old.name) && old.value !== sent.get(old.name) ? old.value : null;
    const isWhole = old === document.activeElement && old.selectionStart === 0 && old.selectionEnd === old.value.length;
    if (old.tagName === "SELECT") mergeNodes(old, now, sent);
    else old.defaultValue = now.defaultValue;
    const wanted = typed === null ? now.value : typed;
    if (old.value === wanted) return;
    old.value = wanted;
    if (isWhole && old.select) old.select();
  };

  const merge = (old, now, sent) => {
    if (!(old instanceof Element)) {
      if (old.data !== now.data) old.data = now.data;
      return;
    }
    if (old.matches("figure, table, pre")) {
      if (!old.isEqualNode(now)) old.replaceWith(document.adoptNode(now));
      return;
    }
    for (const { name } of [...old.attributes]) if (!now.hasAttribute(name)) old.removeAttribute(name);
    const isField = old.matches("input, select");
    for (const { name, value } of now.attributes) {
      if (!(isField && name === "value") && old.getAttribute(name) !== value) old.setAttribute(name, value);
    }
    if (isField) mergeField(old, now, sent);
    else mergeNodes(old, now, sent);
  };

  const mergeNodes = (old, now, sent) => {
    let at = old.firstChild;
    for (const wanted of [...now.childNodes]) {
      let same = at;
      while (same && key(same) !== key(wanted)) {
        // Who is in a field keeps it, even where its neighbours change places.
        same = same.contains(document.activeElement) ? null : same.nextSibling;
      }
      if (!same) {
        old.insertBefore(document.adoptNode(wanted), at);
        continue;
      }
      while (at !== same) {
        const gone = at;
        at = at.nextSibling;
        gone.remove();
      }
      at = same.nextSibling;
      merge(same, wanted, sent);
    }
    while (at) {
      const gone = at;
      at = at.nextSibling;
      gone.remove();
    }
  };

  const show = (page, sent) => {
    const banner = document.getElementById("unsaved");
    if (banner) banner.remove();
    holding(() => {
      for (const part of ["header", "main"]) merge(document.querySelector(part), page.querySelector(part), sent);
    });
    document.title = page.title;
    mark();
  };

  // What is typed is drawn before it is saved, by the server, which writes
  // nothing for it. Of what comes back, drawings and words alone are taken.
  let drafts = 0;
  let drafting = new AbortController();
  let pause = 0;

  const forget = () => {
    clearTimeout(pause);
    drafts += 1;
    drafting.abort();
  };

  const swap = (there, now, inside) => {
    const old = there.querySelector(inside);
    const own = now.querySelector(inside);
    if (old && own) mergeNodes(old, own, new Map());
    else if (own) there.querySelector(".entry").append(document.adoptNode(own));
    else if (old) old.remove();
  };

  // A clamp that is held in the drawing is held in the new one.
  const holding = (change) => {
    const held = document.activeElement && document.activeElement.dataset.clamp;
    change();
    const grip = held && document.querySelector(`[data-clamp="${held}"]`);
    if (grip && grip !== document.activeElement) grip.focus({ preventScroll: true });
  };

  const redraw = (page) => {
    const none = new Map();
    const wanted = page.querySelector(".verdict");
    if (!wanted) return;
    merge(document.querySelector(".verdict"), wanted, none);
    const now = page.querySelector(".beside");
    const old = document.querySelector(".beside");
    if (old && now) merge(old, now, none);
    else if (now) document.querySelector(".bench").append(document.adoptNode(now));
    else if (old) old.classList.add("behind");
    for (const own of page.querySelectorAll(".field")) {
      const input = own.querySelector("[id]");
      const same = document.getElementById(input.id);
      const there = same && same.closest(".field");
      if (!there) continue;
      there.classList.toggle("wrong", own.classList.contains("wrong"));
      if (input.hasAttribute("aria-invalid")) same.setAttribute("aria-invalid", "true");
      else same.removeAttribute("aria-invalid");
      swap(there, own, ".about");
      swap(there, own, ".other");
    }
  };

  const draft = async (form, more) => {
    forget();
    const own = drafts;
    drafting = new AbortController();
    const sent = new URLSearchParams();
    for (const one of fields(form)) sent.set(one.name, one.value);
    for (const [name, value] of more) sent.set(name, value);
    try {
      const answer = await fetch(`${form.action}/draft`, { method: "POST", body: sent, signal: drafting.signal });
      if (!answer.ok) return null;
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      if (own !== drafts || running || !form.isConnected) return null;
      holding(() => redraw(page));
      return page;
    } catch {
      // What is wrong with the page itself is said where it is to save.
      return null;
    }
  };

  const drawSoon = (form) => {
    clearTimeout(pause);
    pause = setTimeout(() => { if (!running && form.isConnected) draft(form, []); }, 150);
  };

  document.addEventListener("input", ({ target }) => {
    if (target.form && target.form.hasAttribute("data-live")) drawSoon(target.form);
  });

  // After a save: what is typed and not saved says so, and is drawn again.
  const mark = () => {
    const form = document.querySelector("form[data-live]");
    if (!form) return;
    let isTyped = false;
    for (const one of fields(form)) {
      const box = one.closest(".field");
      if (!box || one.value === standing(one)) continue;
      isTyped = true;
      if (one !== document.activeElement) box.classList.add("unsaved");
    }
    if (isTyped) drawSoon(form);
  };

  const fail = (why) => {
    let banner = document.getElementById("unsaved");
    if (!banner) {
      banner = document.createElement("p");
      banner.id = "unsaved";
      banner.setAttribute("role", "alert");
      document.body.prepend(banner);
    }
    banner.textContent = `not saved: ${why}`;
    for (const name of left.keys()) {
      const field = document.getElementById(name);
      if (field) field.closest(".field")?.classList.add("unsaved");
    }
    for (const verdict of document.querySelectorAll(".verdict")) {
      verdict.className = "verdict fail";
      verdict.textContent = "No proof: what is typed here is not saved.";
    }
  };

  const save = async (form, isWanted) => {
    if (!form.isConnected || !(left.size || isWanted)) return;
    forget();
    const sent = new URLSearchParams();
    for (const one of fields(form)) sent.set(one.name, left.has(one.name) ? left.get(one.name) : standing(one));
    let answer;
    let text;
    try {
      answer = await fetch(form.action, { method: "POST", body: sent, signal: AbortSignal.timeout(45000) });
      text = await answer.text();
    } catch {
      await released;
      fail("the page has ended or does not answer: start it again");
      return;
    }
    await released;
    const page = new DOMParser().parseFromString(text, "text/html");
    if (!(answer.ok || answer.status === 409) || !page.querySelector("header") || !page.querySelector("main")) {
      const words = page.querySelector("main, script, form") ? "" : `${text.slice(0, 200)} `;
      fail(`${words}(${answer.status}); where that stays so the page has ended: start it again`);
      return;
    }
    for (const [name, typed] of left) if (sent.get(name) === typed || !sent.has(name)) left.delete(name);
    show(page, sent);
  };

  const queue = (form, isWanted) => {
    running += 1;
    busy = busy
      .then(() => save(form, isWanted))
      .catch((error) => fail(String(error)))
      .finally(() => { running -= 1; });
  };

  document.addEventListener("change", ({ target }) => {
    if (!target.form || !target.form.hasAttribute("data-live")) return;
    left.set(target.name, target.value);
    queue(target.form, false);
  });

  document.addEventListener("submit", (event) => {
    const form = event.target;
    const by = event.submitter;
    if (form.hasAttribute("data-live") && !(by && by.name)) {
      event.preventDefault();
      const isIdle = !running;
      for (const one of fields(form)) if (one.value !== standing(one)) left.set(one.name, one.value);
      queue(form, isIdle);
      return;
    }
    if (!running) return;
    event.preventDefault();
    busy.then(() => {
      if (!left.size && form.isConnected && (!by || by.isConnected)) form.requestSubmit(by);
    });
  });

  document.addEventListener("pointerdown", ({ button }) => {
    release();
    if (button !== 0) return;
    released = new Promise((done) => { release = done; });
    // A pointer that is never let go ends the wait by itself.
    setTimeout(release, 5000);
  }, true);
  for (const end of ["pointerup", "pointercancel"]) {
    document.addEventListener(end, () => setTimeout(release, 100), true);
  }

  document.addEventListener("click", (event) => {
    setTimeout(release);
    const link = event.target.closest("a[href]");
    const isPlain = event.button === 0 && !(event.ctrlKey || event.metaKey || event.shiftKey || event.altKey);
    if (!link || !isPlain || !running || link.getAttribute("href").startsWith("#")) return;
    event.preventDefault();
    busy.then(() => { if (!left.size) location.assign(link.href); });
  });

  addEventListener("beforeunload", (event) => { if (left.size || document.querySelector(".unsaved")) event.preventDefault(); });

  // Clamps are moved in the drawing. The server says where each then stands; it
  // is typed into the fields, and saved as one change once the clamp is let go.
  let move = null;

  const corners = (form, number) => fields(form).filter(({ name }) =>
    ["min", "max"].some((corner) => name.startsWith(`fixture.clamps[${number}].${corner}[`)));

  const take = (clamp) => {
    if (move && move.clamp === clamp) return move;
    const form = document.querySelector("form[data-live]");
    move = { clamp, form, right: 0, up: 0, wanted: null, done: Promise.resolve(), timer: 0 };
    return move;
  };

  const follow = (own, way) => {
    const isIdle = own.wanted === null;
    own.wanted = way;
    if (!isIdle) return;
    own.done = own.done.then(() => busy).then(async () => {
      const now = own.wanted;
      own.wanted = null;
      const page = await draft(own.form, [["clamp", own.clamp], ...Object.entries(now)]);
      if (!page || own.isOver) return;
      for (const one of corners(own.form, own.clamp)) {
        const said = page.getElementById(one.name);
        if (said) one.value = said.value;
      }
    });
  };

  const letGo = async (own) => {
    if (move === own) move = null;
    clearTimeout(own.timer);
    await own.done;
    for (const one of corners(own.form, own.clamp)) {
      if (one.value !== standing(one)) left.set(one.name, one.value);
    }
    if (left.size) queue(own.form, false);
  };

  const putBack = (own) => {
    own.isOver = true;
    if (move === own) move = null;
    clearTimeout(own.timer);
    for (const one of corners(own.form, own.clamp)) one.value = standing(one);
    draft(own.form, []);
  };

  document.addEventListener("pointerdown", (event) => {
    const grip = event.target.closest && event.target.closest("[data-clamp]");
    if (!grip || event.button !== 0) return;
    event.preventDefault();
    grip.focus({ preventScroll: true });
    // What was typed before is saved and shown while the clamp is held.
    release();
    if (move) letGo(move);
    const own = take(grip.dataset.clamp);
    const scale = grip.ownerSVGElement.getScreenCTM();
    own.pointer = { id: event.pointerId, x: event.clientX, y: event.clientY, across: scale.a, down: scale.d };
  });

  document.addEventListener("pointermove", (event) => {
    const own = move;
    if (!own || !own.pointer || own.pointer.id !== event.pointerId) return;
    const { x, y, across, down } = own.pointer;
    own.isMoved = own.isMoved || Math.hypot(event.clientX - x, event.clientY - y) > 3;
    if (own.isMoved) follow(own, { right: (event.clientX - x) / across, up: (y - event.clientY) / down });
  });

  document.addEventListener("pointerup", (event) => {
    if (move && move.pointer && move.pointer.id === event.pointerId) letGo(move);
  });
  document.addEventListener("pointercancel", () => { if (move) putBack(move); });

  document.addEventListener("keydown", (event) => {
    const grip = event.target.closest && event.target.closest("[data-clamp]");
    if (event.key === "Escape" && move) { putBack(move); return; }
    const way = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (!grip || !way || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    const own = take(grip.dataset.clamp);
    const far = event.shiftKey ? 10 : 1;
    own.right += way[0] * far;
    own.up += way[1] * far;
    follow(own, { "steps-right": own.right, "steps-up": own.up });
    clearTimeout(own.timer);
    own.timer = setTimeout(() => letGo(own), 700);
  });

  setInterval(() => fetch("here").catch(() => {}), 60000);
})();
