// The frame around the page: it starts the worker that the program runs in, and hands on what the page asks of it.

const frame = document.getElementById("page");
const root = new URL("./", location.href);

function say(now, help = "") {
  document.getElementById("now").textContent = now;
  document.getElementById("help").textContent = help;
  document.getElementById("says").hidden = false;
  frame.hidden = true;
}

let ready = false;
const worker = new Worker("worker.js", { type: "module" });
worker.addEventListener("message", ({ data }) => {
  if (data.failed) return say(data.failed, data.help);
  if (data.says) document.getElementById("now").textContent = data.says;
  if (!data.ready) return;
  ready = true;
  navigator.storage?.persist?.();
  if (frame.hidden) frame.src = new URL(`app/${location.hash.slice(1) || "today"}`, root);
});
worker.addEventListener("error", (event) => say(`The program can't start: ${event.message}`, "Load this page again."));

// A request of the page, as the service worker passes it on; only the tab that holds the program answers.
navigator.serviceWorker?.addEventListener("message", ({ data, ports }) => {
  if (ready && data.request) worker.postMessage(data.request, [ports[0]]);
});

frame.addEventListener("load", () => {
  const shown = frame.contentWindow.location;
  if (shown.protocol === "about:") return;
  document.getElementById("says").hidden = true;
  frame.hidden = false;
  document.title = frame.contentDocument.title;
  history.replaceState(null, "", `#${shown.pathname.slice(root.pathname.length + 4)}${shown.search}`);
  frame.focus();
});

if (!("serviceWorker" in navigator)) {
  say("This browser keeps no pages for use without a network here.", "Open this address with https://, in a current browser.");
} else {
  await navigator.serviceWorker.register("service.js");
  await navigator.serviceWorker.ready;
  if (!navigator.serviceWorker.controller) {
    await new Promise((done) => navigator.serviceWorker.addEventListener("controllerchange", done, { once: true }));
  }
  worker.postMessage({ begin: true });
}
