// Opens pages in one headless Chromium, does what the steps say, and prints what was seen.
// Each line of the input is a job, {"page", "tablet", "screen", "dark", "steps"}; each line of the output is what was
// seen, or {"failed"}. Each step is ["key", name] on the focused element,
// ["focus", selector], ["click", selector], ["tap", selector], ["fill", selector, text], ["drag", selector, dx, dy],
// ["read", name, expression], ["shot", path], ["print", path], ["goto", url], ["type", text], ["wait", expression],
// ["choose", selector, option], ["upload", selector, path], ["tab", name of a field, key], ["pause", ms], ["download", selector or "Enter", path] or ["axe", name]: what
// axe-core finds that is serious.
import { readFileSync } from "node:fs";
import { createInterface } from "node:readline";
import { chromium } from "playwright-core";

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});

// by keyboard alone, to the field of this name or the button that leads there
async function tabTo(page, name, key) {
  for (let i = 0; i < 200; i++) {
    const [field, to] = await page.evaluate(
      "[document.activeElement.name, document.activeElement.getAttribute('formaction')]");
    if (field === name || to?.endsWith(`/${name}`)) return;
    await page.keyboard.press(key);
  }
  throw new Error(`no ${name} is reached by ${key}`);
}

// a page's policy may forbid what waitForFunction does: look again and again from outside, ever less often, for
// each look keeps three processes busy
async function until(page, expression) {
  let pause = 15;
  for (const end = Date.now() + 60000; Date.now() < end; pause = Math.min(1.5 * pause, 200)) {
    if (await page.evaluate(expression).catch(() => false)) return;
    await new Promise(done => setTimeout(done, pause));
  }
  throw new Error(`waited in vain for ${expression}`);
}

// one page for all jobs, another where there is touch: to begin one takes 0.6 of the processor's 0.8 s that a job takes
const pages = new Map();

async function pageOf(job) {
  const viewport = { width: job.screen[0], height: job.screen[1] };
  if (!pages.has(job.tablet)) {
    const context = await browser.newContext({ viewport, hasTouch: job.tablet });
    pages.set(job.tablet, await context.newPage());
  }
  const page = pages.get(job.tablet);
  page.setDefaultTimeout(60000);
  await page.setViewportSize(viewport);
  await page.emulateMedia({ colorScheme: job.dark ? "dark" : "light" });
  return page;
}

// what a job leaves: a page that is nobody's, without cookies or what was typed into it; after one that failed the
// next begins anew
async function leave(page, failed) {
  page.removeAllListeners();
  if (failed) {
    pages.clear();
    await Promise.all(browser.contexts().map(context => context.close()));
    return;
  }
  await page.evaluate(() => sessionStorage.clear());
  await page.goto("about:blank");
  await page.context().clearCookies();
}

async function look(job) {
  const seen = { errors: [], asked: [], read: {} };
  const page = await pageOf(job);
  let failed = true;
  try {
    page.on("pageerror", error => seen.errors.push(String(error)));
    page.on("console", line => { if (line.type() === "error") seen.errors.push(line.text()); });
    page.on("request", request => seen.asked.push(request.url()));
    await page.goto(job.page.includes("://") ? job.page : `file://${job.page}`);
    for (const [what, ...rest] of job.steps) {
      if (what === "key") await page.keyboard.press(rest[0]);
      if (what === "focus") await page.focus(rest[0]);
      if (what === "click") await page.click(rest[0]);
      if (what === "fill") await page.fill(rest[0], rest[1]);
      if (what === "read") seen.read[rest[0]] = await page.evaluate(rest[1]);
      if (what === "shot") await page.screenshot({ path: rest[0] });
      if (what === "print") await page.pdf({ path: rest[0], format: "A4" });
      if (what === "drag") {
        const box = await page.locator(rest[0]).boundingBox();
        const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
        await page.mouse.move(x, y);
        await page.mouse.down();
        await page.mouse.move(x + rest[1], y + rest[2], { steps: 4 });
        await page.mouse.up();
      }
      if (what === "tap") await page.tap(rest[0]);
      if (what === "goto") await page.goto(rest[0]);
      if (what === "type") await page.keyboard.type(rest[0]);
      if (what === "wait") await until(page, rest[0]);
      if (what === "choose") await page.selectOption(rest[0], rest[1]);
      if (what === "upload") await page.setInputFiles(rest[0], rest[1]);
      if (what === "download") {
        const give = rest[0] === "Enter" ? page.keyboard.press("Enter") : page.click(rest[0]);
        const [got] = await Promise.all([page.waitForEvent("download"), give]);
        await got.saveAs(rest[1]);
      }
      if (what === "pause") await page.waitForTimeout(rest[0]);
      if (what === "tab") await tabTo(page, rest[0], rest[1] ?? "Tab");
      if (what === "axe") {
        await page.evaluate(readFileSync(new URL("node_modules/axe-core/axe.min.js", import.meta.url), "utf8"));
        const found = await page.evaluate("axe.run({ resultTypes: ['violations'] })");
        seen.read[rest[0]] = found.violations.filter(one => ["serious", "critical"].includes(one.impact))
          .map(one => `${one.id}: ${one.nodes.slice(0, 3).map(node => node.html).join(" | ")}`);
      }
    }
    failed = false;
  } finally {
    await leave(page, failed);
  }
  return seen;
}

for await (const line of createInterface({ input: process.stdin })) {
  const answer = await look(JSON.parse(line)).catch(error => ({ failed: String(error) }));
  console.log(JSON.stringify(answer));
}
await browser.close();
