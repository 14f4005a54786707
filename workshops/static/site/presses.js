/* Where signal is poor: before a form is sent, ask whether the site can be reached at all. If it
   cannot, say so beside the button that was pressed; what was typed stays. Sent is the form itself,
   by the browser, as it would be without this; sent twice it still counts once. */
(function () {
  "use strict";
  var LONGEST_MS = 8000;
  var told = document.getElementById("no-signal");
  var asking = false, reached = false;
  if (!told || !window.fetch || !HTMLFormElement.prototype.requestSubmit) { return; }

  function ask() {
    var stop = new AbortController(), clock = setTimeout(function () { stop.abort(); }, LONGEST_MS);
    var how = { method: "HEAD", cache: "no-store", signal: stop.signal };
    return fetch(told.dataset.ask, how).then(function (answer) {
      if (!answer.ok) { throw new Error(answer.status); }
    }).finally(function () { clearTimeout(clock); });
  }

  function say(form, button) {
    (button && form.contains(button) ? button.closest("p") || button : form).after(told);
    told.hidden = false;
    told.focus();
  }

  document.addEventListener("submit", function (event) {
    var form = event.target, button = event.submitter;
    if (reached || form.method !== "post" || !form.closest("main")) { return; }
    event.preventDefault();
    if (asking) { return; }
    asking = true;
    told.hidden = true;
    ask().then(function () {
      reached = true;
      form.requestSubmit(button);
    }, function () { say(form, button); }).finally(function () { asking = false; });
  });
  window.addEventListener("pageshow", function () { reached = false; });
})();
