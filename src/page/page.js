"use strict";
// Without this script every form works by its buttons; with it a field is
// saved when it is left, and the rest of the page stays where it is.
(() => {
  let busy = Promise.resolve();

  const show = (text) => {
    const there = document.activeElement && document.activeElement.id;
    const page = new DOMParser().parseFromString(text, "text/html");
    for (const part of ["header", "main"]) {
      const now = page.querySelector(part);
      if (now) document.querySelector(part).replaceWith(document.adoptNode(now));
    }
    document.title = page.title;
    const again = there && document.getElementById(there);
    if (again) again.focus();
  };

  const save = async (form) => {
    const answer = await fetch(form.action, { method: "POST", body: new URLSearchParams(new FormData(form)) });
    show(await answer.text());
  };

  document.addEventListener("change", (event) => {
    const form = event.target.form;
    if (!form || !form.hasAttribute("data-live")) return;
    busy = busy.then(() => {
      // The page may have been shown anew since the field was left.
      const now = event.target.isConnected ? form : null;
      return now && save(now);
    }).catch(() => {});
  });

  setInterval(() => fetch("here").catch(() => {}), 60000);
})();
