// The frame around the page: it starts the worker that the program runs in, and hands on what the page asks of it.

const frame = document.getElementById("page");
const root = new URL("./", location.href);
let ready = false;

function say(now, help = "", again = false) {
  document.getElementById("now").textContent = now;
  document.getElementById("help").textContent = help;
  document.getElementById("again").hidden = !again;
  document.getElementById("far").hidden = again;
}

function stop(what, help) {
  ready = false;
  say(what, help, true);
  document.getElementById("says").hidden = false;
  frame.hidden = true;
}

document.getElementById("again").addEventListener("click", () => location.reload());

function start() {
  const worker = new Worker("worker.js", { type: "module" });
  worker.addEventListener("message", ({ data }) => {
    if (data.failed) return stop(data.failed, data.help);
    if (data.says) return say(data.says);
    ready = true;
    navigator.storage?.persist?.().then((lasting) => worker.postMessage({ lasting }));
    frame.src = new URL(`app/${location.hash.slice(1) || "today"}`, root);
  });
  worker.addEventListener("error", (event) => stop(`The program can't start: ${event.message ?? "it couldn't be read"}.`, "Load this page again."));
  // A request of the page, as the service worker passes it on; only the tab that holds the program answers.
  navigator.serviceWorker.addEventListener("message", ({ data, ports }) => {
    if (ready && data.request) worker.postMessage(data.request, [ports[0]]);
  });
  worker.postMessage({ begin: true });
}

frame.addEventListener("load", () => {
  const shown = frame.contentWindow.location;
  if (shown.protocol === "about:" || !ready) return;
  document.getElementById("says").hidden = true;
  frame.hidden = false;
  document.title = frame.contentDocument.title;
  history.replaceState(null, "", `#${shown.pathname.slice(root.pathname.length + 4)}${shown.search}`);
  frame.focus();
});

const changed = (host) => new Promise((done) => host.addEventListener("controllerchange", done, { once: true }));

async function arrange() {
  const host = navigator.serviceWorker;
  if (!host) return stop("This browser keeps no pages for use without a network here.", "Open this address with https://, in a current browser and not in a private window.");
  host.addEventListener("message", ({ data }) => {
    if (host.controller) return; // a newer page is being fetched beside this one
    if (data.failed) stop(data.failed, data.help);
    if (data.says) say(data.says);
  });
  const registered = await host.register("service.js");
  if (registered.waiting && host.controller) {
    const over = changed(host);
    registered.waiting.postMessage("take over");
    await over;
    return location.reload();
  }
  await host.ready;
  if (!host.controller) await changed(host);
  start();
}

arrange().catch((error) => stop(`This page can't be set up: ${error.message}`, "Open it again while there is a network."));
