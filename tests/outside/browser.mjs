// Opens pages in one headless Chromium, does what the steps say, and prints what was seen.
// Each line of the input is a job, {"page", "tablet", "screen", "dark", "steps"}; each line of the output is what was
// seen, or {"failed"}. Each step is ["key", name] on the focused element,
// ["focus", selector], ["click", selector], ["tap", selector], ["fill", selector, text], ["drag", selector, dx, dy],
// ["read", name, expression], ["shot", path] or ["print", path].
import { createInterface } from "node:readline";
import { chromium } from "playwright-core";

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});

async function look(job) {
  const seen = { errors: [], asked: [], read: {} };
  const context = await browser.newContext({
    viewport: { width: job.screen[0], height: job.screen[1] },
    hasTouch: job.tablet,
    colorScheme: job.dark ? "dark" : "light",
  });
  try {
    const page = await context.newPage();
    page.setDefaultTimeout(20000);
    page.on("pageerror", error => seen.errors.push(String(error)));
    page.on("console", line => { if (line.type() === "error") seen.errors.push(line.text()); });
    page.on("request", request => seen.asked.push(request.url()));
    await page.goto(`file://${job.page}`);
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
    }
  } finally {
    await context.close();
  }
  return seen;
}

for await (const line of createInterface({ input: process.stdin })) {
  const answer = await look(JSON.parse(line)).catch(error => ({ failed: String(error) }));
  console.log(JSON.stringify(answer));
}
await browser.close();
