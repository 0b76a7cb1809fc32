// A chosen file is sent as it is; what goes out is saved as a file, or shared where the device can. It comes by a request
// of the page: a browser's own download may pass by the program inside it.

const shares = () => navigator.canShare?.({ files: [new File([""], "a.jsonl", { type: "text/plain" })] });

// True once it is out of the page's hands, false where the person broke sharing off. Some browsers share a few kinds of
// files alone, and say so only when asked: then it is saved.
async function save(answer) {
  const name = /filename="([^"]+)"/.exec(answer.headers.get("Content-Disposition"))[1];
  const file = new File([await answer.blob()], name, { type: "text/plain" });
  const shared = shares() ? await navigator.share({ files: [file] }).then(() => "yes", ({ name }) => name) : "no";
  if (shared === "yes" || shared === "AbortError") return shared === "yes";
  const saved = document.createElement("a");
  saved.href = URL.createObjectURL(file);
  saved.download = name;
  saved.click();
  return true;
}

document.querySelector("form[data-take]")?.addEventListener("submit", (event) => {
  event.preventDefault();
  const fields = new FormData(event.target);
  const notice = event.target.querySelector(".notice");
  const query = new URLSearchParams({ name: fields.get("file").name, same: fields.get("same") ?? "no" });
  const call = new XMLHttpRequest();
  call.open("POST", `handover?${query}`);
  call.setRequestHeader("X-Page", fields.get("page"));
  call.setRequestHeader("Content-Type", "application/octet-stream");
  call.onloadend = () => {
    notice.hidden = false;
    notice.textContent = call.responseText || "The program can't be reached; nothing was taken in.";
  };
  call.send(fields.get("file"));
});

const link = document.querySelector("a[data-share]");
if (shares() && link) link.textContent = "Share the file";
link?.addEventListener("click", async (event) => {
  event.preventDefault();
  const answer = await fetch(`${link.href}?later=1`);
  if (!(await save(answer))) return;
  const { value: page } = document.querySelector("[data-take] [name=page]");
  const body = new URLSearchParams({ page, answers: answer.headers.get("X-Answers") });
  await fetch("handed", { method: "POST", body });
  const told = document.querySelector("[data-here]");
  told.textContent = "The file holds every answer of this device. Keep it until the other one has taken it in.";
});

document.querySelector("form[data-save]")?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const body = new URLSearchParams(new FormData(event.target, event.submitter));
  const answer = await fetch(event.target.action, { method: "POST", body });
  if (answer.ok) await save(answer);
});
