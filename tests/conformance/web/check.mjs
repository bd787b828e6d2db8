// The record's web page through readers nobody here wrote:
// html-validate (is it good HTML), axe-core in headless Chromium at phone and desktop width (can everyone use it),
// and the browser itself (does it fetch anything, does it run wider than the screen, how many pages does it print).
//
//   node check.mjs RULES.json PAGE.html...      one JSON object a page on standard output
import { readFile } from "node:fs/promises";
import { pathToFileURL } from "node:url";
import { createRequire } from "node:module";
import { HtmlValidate } from "html-validate";
import puppeteer from "puppeteer-core";

const axe = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const [rules, ...pages] = process.argv.slice(2);
const validator = new HtmlValidate(JSON.parse(await readFile(rules, "utf8")));
const browser = await puppeteer.launch({
  executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"],
});
/** Width and height in CSS pixels: a small phone, and a desk. */
const screens = { phone: [375, 740], desktop: [1280, 900] };

for (const file of pages) {
  const report = { file, invalid: [], fetched: [], axe: {}, wide: {} };
  const text = await readFile(file, "utf8");
  const found = await validator.validateString(text, file);
  for (const result of found.results) {
    for (const message of result.messages) {
      report.invalid.push(`${message.line}: ${message.ruleId}: ${message.message}`);
    }
  }
  for (const [name, [width, height]] of Object.entries(screens)) {
    const page = await browser.newPage();
    await page.setViewport({ width, height });
    page.on("request", (request) => {
      if (!request.url().startsWith("file:") || !request.isNavigationRequest()) report.fetched.push(request.url());
    });
    await page.goto(pathToFileURL(file).href, { waitUntil: "load" });
    report.wide[name] = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
    if (process.env.SCREENSHOTS) {
      await page.screenshot({ path: `${process.env.SCREENSHOTS}-${name}.png`, fullPage: true });
    }
    await page.evaluate(axe);
    const seen = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ["violations"] }));
    report.axe[name] = seen.violations.map(
      (violation) => `${violation.id}: ${violation.help}: ${violation.nodes.slice(0, 2).map((node) => node.html.slice(0, 120)).join(" | ")}`,
    );
    if (name === "desktop") {
      const printed = Buffer.from(await page.pdf({ format: "letter", preferCSSPageSize: true }));
      report.printed = (printed.toString("latin1").match(/\/Type\s*\/Page\b/g) || []).length;
      if (process.env.SCREENSHOTS) {
        const { writeFile } = await import("node:fs/promises");
        await writeFile(`${process.env.SCREENSHOTS}.pdf`, printed);
      }
    }
    await page.close();
  }
  console.log(JSON.stringify(report));
}
await browser.close();
