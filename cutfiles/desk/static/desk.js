// What every page does: it says that it is open, and that it was closed. Everything works without it.
const name = crypto.randomUUID();
const say = what => navigator.sendBeacon(`/page/${name}/${what}`);
say("open");
setInterval(() => say("open"), 60000);
addEventListener("pagehide", () => say("closed"));
addEventListener("pageshow", event => { if (event.persisted) say("open"); });
