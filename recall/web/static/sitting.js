// A sitting without loading the page anew: an answer is sent, and what comes back takes the place of the page's main
// part. Where the program can't be reached, the answer waits here and is sent again until it is taken, once: the token
// in it names the question.

const ALONE = 600; // milliseconds of silence behind a letter that is a key
const SETTLE = 300; // milliseconds after an answer in which a key is no answer to what is put now
const store = window.sessionStorage;
let sending = false;
let shown = 0;
let run = []; // of letters: one alone is a key, several are words, of an answer to what isn't put yet
let alone = 0;
let kept = null; // of the question put: when it was shown, the first key, what is typed

const main = () => document.querySelector("main");
const first = () => main().querySelector("[data-first]") ?? main();

function began() {
  const put = main().querySelector("[data-token]");
  const before = JSON.parse(store.getItem("put") ?? "null");
  const token = put?.dataset.token;
  const same = before !== null && (before.token === token || (kept !== null && put && !("fresh" in put.dataset)));
  kept = same ? { ...before, token } : { token, shown: Date.now(), seconds: null, whole: true, text: "" };
  keep();
  clearTimeout(alone);
  run = [];
  shown = performance.now();
  const line = document.getElementById("answer");
  if (line && same) line.value = kept.text;
  first().focus({ preventScroll: true });
  if (line && same) line.select();
  window.scrollTo(0, 0);
}

function keep() {
  store.setItem("put", JSON.stringify(kept));
}

function soon() {
  const now = performance.now();
  if (now - shown >= SETTLE) return false;
  shown = now; // so does what follows on it
  return true;
}

function touched() {
  if (kept.seconds === null) kept.seconds = (Date.now() - kept.shown) / 1000;
}

function notice(text) {
  const place = main().querySelector(".notice");
  if (!place) return;
  place.textContent = text;
  place.hidden = !text;
}

function send(address, body, tries = 0) {
  sending = true;
  const call = new XMLHttpRequest();
  const later = () => {
    store.setItem("waits", JSON.stringify([address, body]));
    main().inert = false;
    notice("The program can't be reached. Your answer waits in this page and is sent when it can be.");
    let over = false;
    const again = () => {
      if (over) return;
      over = true;
      window.removeEventListener("online", again);
      send(address, body, tries + 1);
    };
    window.addEventListener("online", again);
    setTimeout(again, Math.min(1000 * 1.5 ** tries, 10000));
  };
  call.open("POST", address);
  call.responseType = "document";
  call.timeout = 60000;
  call.onerror = call.ontimeout = later;
  call.onload = () => {
    const next = call.response?.querySelector("main");
    if (!next || call.status >= 502) return later();
    store.removeItem("waits");
    sending = false;
    document.title = call.response.title;
    main().replaceWith(document.adoptNode(next));
    began();
  };
  call.setRequestHeader("Content-Type", "application/x-www-form-urlencoded");
  call.send(body);
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!main().contains(form)) return;
  event.preventDefault();
  if (sending || soon()) return;
  touched();
  const fields = new FormData(form, event.submitter);
  if (fields.has("seconds") && kept.whole) fields.set("seconds", String(kept.seconds));
  send(form.getAttribute("action") ?? location.href, String(new URLSearchParams(fields)));
});

document.documentElement.classList.add("scripted"); // keys do something

document.addEventListener("input", (event) => {
  if (event.target.id !== "answer") return;
  touched();
  kept.text = event.target.value;
  keep();
});

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || event.isComposing || !main().contains(event.target)) return;
  const field = event.target.closest("textarea, input:not([type=hidden])");
  if (field) {
    if (event.key === "Escape") return main().focus();
    if (event.key !== "Enter" || field.tagName !== "TEXTAREA" || event.shiftKey) return;
    if ("several" in field.dataset && field.value.split("\n").pop().trim()) return; // the next line of several
    event.preventDefault();
    return field.form.requestSubmit(field.form.querySelector("button"));
  }
  if (event.target.closest("a, select") || !main().querySelector("[data-key]")) return;
  const entered = event.key === "Enter";
  if (!run.length && entered && event.target === main()) return first() === main() ? pressed([]) : first().focus();
  if (run.length ? event.key.length > 1 && !entered : !/^\S$/.test(event.key)) return;
  event.preventDefault();
  if (soon()) return entered || notice("What you typed right after the answer did nothing; from now on keys count.");
  run.push(event.key.toLowerCase());
  clearTimeout(alone);
  alone = setTimeout(() => pressed(run.splice(0)), ALONE);
});

function pressed(keys) {
  const keyed = keys.length === 1 && main().querySelector(`[data-key="${CSS.escape(keys[0])}"]`);
  if (!keyed) return notice("Nothing was done: press a key that a button shows alone, without Enter behind it.");
  keyed.tagName === "BUTTON" ? keyed.click() : keyed.focus();
}

document.addEventListener("visibilitychange", () => {
  if (document.hidden && kept.seconds === null) kept.whole = false; // a time away is no time of thought
  keep();
});

// A candidate's page goes along with the examiner's: it looks every two seconds whether another question is put.
setInterval(() => {
  const here = main().querySelector("[data-follow]")?.dataset.follow;
  if (!here || document.hidden) return;
  const call = new XMLHttpRequest();
  call.open("GET", location.href);
  call.responseType = "document";
  call.onload = () => {
    const next = call.response?.querySelector("main");
    if (next && next.querySelector("[data-follow]")?.dataset.follow !== here) main().replaceWith(document.adoptNode(next));
  };
  call.send();
}, 2000);

const waits = JSON.parse(store.getItem("waits") ?? "null");
began();
if (waits) send(...waits);
