// Sends the first part of each JPEG, some files at a time; without scripts the form sends them whole.
(function () {
  "use strict";
  // Some proxies let no more than 1 MB through unless they are told.
  const BYTES_A_TIME = 950 * 1024;
  const FILES_A_TIME = 50;
  const NO_PICTURE = /\.(zip|csv|tsv|txt)$/i;
  const form = document.querySelector("form[data-frames]");
  if (!form || !window.fetch || !window.DataTransfer) return;
  const input = form.querySelector("input[type=file]");
  const button = form.querySelector("button.main");
  const box = form.querySelector(".sending");
  const count = box.querySelector(".count");
  const bar = box.querySelector("progress");
  const stop = box.querySelector(".stop");
  const go = box.querySelector(".go");
  const firstBytes = Number(form.dataset.bytes);
  let run = null;

  form.addEventListener("submit", function (event) {
    const files = Array.from(input.files);
    const pictures = files.filter((file) => !NO_PICTURE.test(file.name));
    if (!pictures.length) return sendWhole(files); // a ZIP or a CSV goes as it is
    event.preventDefault();
    const others = files.filter((file) => NO_PICTURE.test(file.name));
    run = { files: pictures, others, at: 0, lot: "", bytes: new Map(), taken: 0, known: 0 };
    input.disabled = button.disabled = true;
    box.hidden = false;
    goOn();
  });
  stop.addEventListener("click", function () {
    run.going = false;
    pause(box.dataset.stopped);
  });
  go.addEventListener("click", goOn);

  window.addEventListener("pageshow", function (event) {
    if (event.persisted) box.hidden = true; // back from the page that answered
  });

  // The browser sends the form; no page can tell how far it has come, only that it is at work.
  function sendWhole(files) {
    const bytes = files.reduce((sum, file) => sum + file.size, 0);
    if (!bytes) return;
    const mb = Math.max(Math.round(bytes / 1048576), 1);
    count.textContent = box.dataset.whole.replace("{mb}", mb);
    bar.removeAttribute("value");
    stop.hidden = true;
    box.hidden = false;
  }

  function pause(words) {
    run.going = false;
    stop.hidden = true;
    go.hidden = false;
    count.textContent = words;
    go.focus();
  }

  async function goOn() {
    const mine = (run.going = {}); // a press on Stop ends this round, whatever still answers it
    go.hidden = true;
    stop.hidden = false;
    show();
    while (run.at < run.files.length) {
      const from = run.at;
      const batch = nextFiles(from);
      let answer;
      try {
        answer = await send(batch);
      } catch (fault) {
        if (run.going === mine) pause(box.dataset.lost);
        return;
      }
      if (answer.lot) {
        const at = Math.max(run.at, from + batch.length);
        Object.assign(run, { lot: answer.lot, at, taken: answer.taken, known: answer.known });
      }
      if (run.going !== mine) return;
      if (answer.refused) return pause(answer.refused);
      if (answer.more) {
        for (const [number, bytes] of Object.entries(answer.more)) run.bytes.set(batch[number], bytes);
      }
      show();
    }
    finish();
  }

  function headBytes(file) {
    return Math.min(file.size, run.bytes.get(file) || firstBytes);
  }

  function nextFiles(from) {
    const batch = [];
    let bytes = 0;
    for (const file of run.files.slice(from, from + FILES_A_TIME)) {
      bytes += headBytes(file);
      if (batch.length && bytes > BYTES_A_TIME) break;
      batch.push(file);
    }
    return batch;
  }

  async function send(batch) {
    const heads = batch.map((file) => file.slice(0, headBytes(file)));
    const body = new FormData();
    body.append("csrfmiddlewaretoken", form.elements.csrfmiddlewaretoken.value);
    body.append("booking", form.elements.booking.value);
    body.append("lot", run.lot);
    body.append("start", run.at);
    body.append("expected", run.files.length);
    body.append("sizes", JSON.stringify(batch.map((file) => file.size)));
    if (run.at + batch.length === run.files.length) body.append("end", "1");
    heads.forEach((head, number) => body.append("files", head, batch[number].name));
    const answer = await fetch(form.dataset.then, { method: "POST", body, headers: { Accept: "application/json" } });
    return answer.json(); // a page instead, such as the log-in, is a fault
  }

  function show() {
    const told = { n: run.at, total: run.files.length, taken: run.taken, known: run.known };
    told.left = run.at - run.taken - run.known;
    count.textContent = box.dataset.words.replace(/\{(\w+)\}/g, (_whole, name) => told[name]);
    bar.max = run.files.length;
    bar.value = run.at;
  }

  function finish() {
    if (!run.others.length) return window.location.assign(form.dataset.then);
    const left = new DataTransfer();
    run.others.forEach((file) => left.items.add(file));
    input.disabled = false;
    input.files = left.files;
    sendWhole(run.others);
    form.submit();
  }
})();
