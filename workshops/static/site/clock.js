/* The clock page: asks the server for its time now and then, and counts on by this device in
   between. The device's own date never matters, only how long a second lasts on it. */
(function () {
  "use strict";
  var ASK_MS = 30000, SOON_MS = 1000, STALE_MS = 120000, SLIP_MS = 500;
  var face = document.getElementById("face");
  var date = document.getElementById("face-date"), offset = document.getElementById("face-offset");
  var within = document.getElementById("face-within");
  var best = null; // {add: server minus device, halfMs, heard, offsetS}
  var next = null, asked = 0; // twice more at once: one slow answer must not stand for long
  var slept = Date.now() - performance.now();

  function two(n) { return (n < 10 ? "0" : "") + n; }

  function heard(told, sent, got) {
    var halfMs = (got - sent) / 2, now = Date.now();
    // The best of the last answers: a slow line tells the time less well.
    if (!best || halfMs <= best.halfMs + 10 || now - best.heard > ASK_MS * 2) {
      best = { add: told.now_ms + halfMs - now, halfMs: halfMs, heard: now, offsetS: told.offset_s };
    } else {
      best.heard = now;
      best.offsetS = told.offset_s;
    }
  }

  function again(afterMs) { clearTimeout(next); next = setTimeout(ask, afterMs); }

  function ask() {
    var sent = performance.now();
    clearTimeout(next);
    fetch(face.dataset.now, { cache: "no-store", credentials: "same-origin", redirect: "error" })
      .then(function (answer) { if (!answer.ok) { throw new Error(answer.status); } return answer.json(); })
      .then(function (told) { heard(told, sent, performance.now()); again(asked++ < 2 ? SOON_MS : ASK_MS); })
      .catch(function () { again(SOON_MS * 3); });
  }

  function show() {
    // A device that slept, or was put right, counts no more: ask first.
    var apart = Date.now() - performance.now();
    if (Math.abs(apart - slept) > SLIP_MS) { slept = apart; best = null; ask(); }
    if (!best) { put(face, "--:--:--"); put(within, ""); return; }
    var lost = Date.now() - best.heard > STALE_MS;
    var at = new Date(Date.now() + best.add + best.offsetS * 1000);
    put(face, two(at.getUTCHours()) + ":" + two(at.getUTCMinutes()) + ":" + two(at.getUTCSeconds()));
    put(date, at.getUTCFullYear() + "-" + two(at.getUTCMonth() + 1) + "-" + two(at.getUTCDate()));
    var minutes = Math.abs(best.offsetS) / 60;
    put(offset, (best.offsetS < 0 ? "-" : "+") + two(Math.floor(minutes / 60)) + ":" + two(minutes % 60));
    face.classList.toggle("lost", lost);
    var tenths = Math.max(1, Math.ceil(best.halfMs / 100)) / 10;
    put(within, lost ? face.dataset.lost : face.dataset.within.replace("{n}", tenths));
  }

  function put(where, words) { if (where.textContent !== words) { where.textContent = words; } }

  show();
  ask();
  setInterval(show, 40);
  document.addEventListener("visibilitychange", function () { if (!document.hidden) { ask(); } });
})();
