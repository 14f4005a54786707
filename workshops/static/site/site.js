// What the pages do beyond HTML. Every page works without it.
"use strict";

// A form sent once is not sent twice by an impatient hand.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post" || form.hasAttribute("hx-post-only")) return;
  if (form.dataset.sent) {
    event.preventDefault();
    return;
  }
  form.dataset.sent = "yes";
  // Coming back by the browser's history must find the form usable.
  window.addEventListener("pageshow", () => delete form.dataset.sent, { once: true });
});
