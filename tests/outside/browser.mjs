// Opens a page in headless Chromium, does what the steps say, and prints what was seen.
// node browser.mjs PAGE STEPS.json : each step is ["key", name] on the focused element,
// ["focus", selector], ["click", selector], ["tap", selector], ["fill", selector, text], ["drag", selector, dx, dy],
// ["read", name, expression], ["shot", path] or ["print", path].
import { readFileSync } from "node:fs";
import { chromium } from "playwright-core";
const [page_path, steps_path] = process.argv.slice(2);
const steps = JSON.parse(readFileSync(steps_path));
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});
const seen = { errors: [], asked: [], read: {} };
try {
  const touch = process.env.TABLET === "1";
  const context = await browser.newContext({
    viewport: touch ? { width: 768, height: 1024 } : { width: 1000, height: 900 }, hasTouch: touch,
  });
  const page = await context.newPage();
  page.on("pageerror", error => seen.errors.push(String(error)));
  page.on("console", line => { if (line.type() === "error") seen.errors.push(line.text()); });
  page.on("request", request => seen.asked.push(request.url()));
  await page.goto(`file://${page_path}`);
  for (const [what, ...rest] of steps) {
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
  }
} finally {
  await browser.close();
}
console.log(JSON.stringify(seen));
