// The report as a reader sees it: node report_test.mjs WORK CHROMIUM PROGRAM EXAMPLES. Leaves a picture of each view in WORK.
import { execFileSync } from "node:child_process";
import { readFileSync, statSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const [work, chromiumPath, program, examples] = process.argv.slice(2);
const require = createRequire(join(work, "package.json"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

let failures = 0;
const check = (holds, claim) => {
  if (!holds) ++failures;
  console.log((holds ? "ok    " : "FAILED ") + claim);
};

const tymbal = (...args) => execFileSync(program, args, { cwd: work });
const example = (name) => join(examples, name);
const fresh = (name) => join(work, name);

// Four pages: holes and limits; cavity, measurement and sweep; what the etch sets free; openings that cut the film.
const writeReports = () => {
  tymbal("report", example("perforated-square.toml"), "--modes", "12", "--out", fresh("perforated.html"));
  writeFileSync(fresh("sweep.csv"), tymbal("sweep", example("plain-square.toml"), "--vary", "outline.scale=0.8..1.2:3",
    "--modes", "2", "--quiet", "--csv", "-"));
  tymbal("report", example("plain-square.toml"), "--modes", "6", "--measured", example("measured-peaks.csv"), "--sweep",
    fresh("sweep.csv"), "--out", fresh("measured.html"));
  tymbal("report", example("hole-field.toml"), "--modes", "4", "--out", fresh("field.html"));
  tymbal("report", example("tethered-pad.toml"), "--modes", "4", "--accuracy", "1e-2", "--out", fresh("tethered.html"));
  return ["perforated", "measured", "field", "tethered"];
};

// Number of different colours in a picture, counted by the browser itself on a page of its own.
const coloursIn = (counter, png) => counter.evaluate(async (base64) => {
  const image = new Image();
  image.src = "data:image/png;base64," + base64;
  await image.decode();
  const canvas = new OffscreenCanvas(image.width, image.height).getContext("2d");
  canvas.drawImage(image, 0, 0);
  const pixels = new Uint32Array(canvas.getImageData(0, 0, image.width, image.height).data.buffer);
  return new Set(pixels).size;
}, png.toString("base64"));

// Colours of a picture of the page at places of the design in micrometres, each as "r,g,b".
const coloursAt = async (page, picture, places) => {
  const png = await picture.screenshot();
  const shares = await picture.evaluate((svg, places) => {
    const data = JSON.parse(document.getElementById("fields").textContent), box = svg.viewBox.baseVal;
    return places.map(([x, y]) =>
      [(x - data.left) * data.unitsPerMicrometre / box.width, (data.top - y) * data.unitsPerMicrometre / box.height]);
  }, places);
  return page.evaluate(async ([base64, shares]) => {
    const image = new Image();
    image.src = "data:image/png;base64," + base64;
    await image.decode();
    const canvas = new OffscreenCanvas(image.width, image.height).getContext("2d");
    canvas.drawImage(image, 0, 0);
    const colour = ([x, y]) => canvas.getImageData(Math.round(x * image.width), Math.round(y * image.height), 1, 1).data;
    return shares.map((share) => colour(share).slice(0, 3).join(","));
  }, [png.toString("base64"), shares]);
};

// No colour where the film is open, some where it is not, on light and dark pages.
const testOpenings = async (browser, name) => {
  for (const colorScheme of ["light", "dark"]) {
    const { context, page } = await open(browser, name, { viewport: { width: 1200, height: 900 }, colorScheme });
    const paper = await page.evaluate(() => getComputedStyle(document.body).backgroundColor.match(/\d+/g).join(","));
    const pictures = page.locator("svg.shape, #plan");
    const count = await pictures.count();
    check(count === 6, `${name}, ${colorScheme}: drawing, four shapes and stress are there (${count})`);
    // Opening and window's edge in it; tether and pad, both off the nodal lines.
    const without = [[0, 120], [-150, 0], [0, 199], [199, 30]], within = [[120, 120], [40, 30]];
    for (let k = 0; k < count; ++k) {
      const colours = await coloursAt(page, pictures.nth(k), [...without, ...within]);
      const empty = colours.slice(0, without.length), film = colours.slice(without.length);
      check(empty.every((c) => c === paper), `${name}, ${colorScheme}: picture ${k} is empty where the film is open ${empty}`);
      check(film.every((c) => c !== paper), `${name}, ${colorScheme}: picture ${k} is not where there is film ${film}`);
    }
    await context.close();
  }
};

// Bars and tables of the budget end within their frames on the screens that people have.
const testBars = async (browser, name) => {
  const { context, page } = await open(browser, name, {});
  for (const width of [1280, 1400, 1900])
    for (const colorScheme of ["light", "dark"]) {
      await page.setViewportSize({ width, height: 1000 });
      await page.emulateMedia({ colorScheme });
      const cut = await page.evaluate(() => [...document.querySelectorAll("#losses .scroll, #tolerance .scroll:first-of-type")]
        .filter((e) => e.scrollWidth > e.clientWidth + 1).map((e) => e.getAttribute("aria-label")));
      check(cut.length === 0, `${name}, ${width} px, ${colorScheme}: no loss bar is cut ${cut.slice(0, 2)}`);
    }
  await context.close();
};

// Drawings that are files of their own too (cavity, comparison, sweep) have the page's letters and paper, also in the dark.
const testPaperOf = async (browser, name) => {
  const { context, page } = await open(browser, name, { viewport: { width: 1280, height: 1000 }, colorScheme: "dark" });
  const odd = await page.evaluate(() => [...document.querySelectorAll(".paper svg")].filter((svg) => {
    const look = (e) => getComputedStyle(e);
    return look(svg).fontFamily !== look(document.body).fontFamily || look(svg.querySelector(".sheet")).fill !== "none" ||
      look(svg).filter !== "none";
  }).length);
  const drawings = await page.locator(".paper svg").count();
  check(drawings === 3 && odd === 0, `${name}: ${drawings} drawings without a white box or letters of their own (${odd})`);
  await context.close();
};

const testLimits = async (browser, name) => {
  const { context, page } = await open(browser, name, {});
  const keys = await page.locator("#limits tbody th").allTextContents();
  check(keys.length > 0 && new Set(keys).size === keys.length, `${name}: each limit stands once ${keys}`);
  await context.close();
};

// Letters of the loss axis keep their size on a narrow page.
const testAxis = async (browser, name) => {
  const { context, page } = await open(browser, name, { viewport: { width: 400, height: 800 } });
  const sizes = await page.locator(".axis span:visible").evaluateAll((all) => all.map((e) => e.getBoundingClientRect().height));
  check(sizes.length >= 2 && Math.min(...sizes) > 12, `${name}: labels of the loss axis are legible at 400 px (${sizes.slice(0, 2)})`);
  const crossed = await page.locator(".axis").first().evaluate((axis) => {
    const seen = [...axis.children].map((e) => e.getBoundingClientRect()).filter((r) => r.width > 0);
    return seen.some((r, k) => k > 0 && r.left < seen[k - 1].right);
  });
  check(!crossed, `${name}: and do not run into each other`);
  await context.close();
};

const open = async (browser, name, options) => {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const faults = [], strangers = [];
  page.on("console", (m) => ["error", "warning"].includes(m.type()) && faults.push(m.text()));
  page.on("pageerror", (e) => faults.push(String(e)));
  page.on("request", (r) => r.url() !== pathToFileURL(fresh(name + ".html")).href && !r.url().startsWith("data:") &&
    strangers.push(r.url()));
  await page.goto(pathToFileURL(fresh(name + ".html")).href);
  return { context, page, faults, strangers };
};

const overflow = (page) => page.evaluate(() => {
  const width = document.documentElement.clientWidth;
  const wide = [...document.querySelectorAll("body *")].filter((e) => !e.closest(".scroll, .paper, .skip, .shared") &&
    e.getBoundingClientRect().right > width + 1).map((e) => e.tagName + "." + e.getAttribute("class"));
  return document.scrollingElement.scrollWidth > width ? ["page", ...wide] : wide;
});

const seriousFaults = async (page) => {
  await page.evaluate(axe);
  const result = await page.evaluate(() => window.axe.run());
  if (result.passes.length < 15) return ["the checker found next to nothing to check"];
  return result.violations.filter((v) => ["serious", "critical"].includes(v.impact))
    .map((v) => v.id + ": " + v.nodes.slice(0, 3).map((n) => n.target.join(" ")).join(", "));
};

const visibleCards = (page) => page.locator(".card:visible").count();

const testScreens = async (browser, name) => {
  for (const [view, options] of [
    ["wide", { viewport: { width: 1600, height: 1000 } }],
    ["narrow", { viewport: { width: 400, height: 800 } }],
    ["dark", { viewport: { width: 1200, height: 900 }, colorScheme: "dark" }],
  ]) {
    const { context, page, faults, strangers } = await open(browser, name, options);
    const wide = await overflow(page);
    check(wide.length === 0, `${name}, ${view}: nothing reaches beyond the page ${wide.slice(0, 5)}`);
    const serious = await seriousFaults(page);
    check(serious.length === 0, `${name}, ${view}: no serious accessibility fault ${serious.join("; ")}`);
    await page.screenshot({ path: fresh(`${name}-${view}.png`), fullPage: true });
    if (view === "dark") {
      const light = await page.evaluate(() => {
        const rgb = getComputedStyle(document.body).backgroundColor.match(/\d+/g).map(Number);
        return Math.max(...rgb.slice(0, 3));
      });
      check(light < 64, `${name}: a dark page is dark`);
    }
    check(faults.length === 0, `${name}, ${view}: a silent console ${faults}`);
    check(strangers.length === 0, `${name}, ${view}: nothing is asked of anyone else ${strangers}`);
    await context.close();
  }
};

const testPictures = async (browser, name) => {
  const { context, page } = await open(browser, name, { viewport: { width: 1200, height: 900 } });
  const pictures = page.locator("figure svg[role=img], figure [role=img] svg");
  const count = await pictures.count(), counter = await context.newPage();
  check(count > 4, `${name}: it has pictures (${count})`);
  for (let k = 0; k < count; ++k) {
    const colours = await coloursIn(counter, await pictures.nth(k).screenshot());
    if (colours < 6) check(false, `${name}: picture ${k} has content, it shows ${colours} colours`);
  }
  const unnamed = await page.evaluate(() => [...document.querySelectorAll("[role=img]")].filter((e) =>
    !(e.getAttribute("aria-label") || document.getElementById(e.getAttribute("aria-labelledby"))?.textContent)).length);
  const doubled = await page.evaluate(() => {
    const ids = [...document.querySelectorAll("[id]")].map((e) => e.id);
    return ids.filter((id, k) => ids.indexOf(id) !== k);
  });
  check(doubled.length === 0, `${name}: every name is given once ${doubled}`);
  check(unnamed === 0, `${name}: every picture has words in its place`);
  await context.close();
};

const testPicker = async (browser, name, modes) => {
  const { context, page, faults } = await open(browser, name, { viewport: { width: 1200, height: 900 } });
  check(await visibleCards(page) === modes, `${name}: all ${modes} modes are shown at first`);
  await page.selectOption("#pick", "3");
  check(await visibleCards(page) === 1 && await page.locator("#mode-3").isVisible(), `${name}: the picker shows one mode`);
  check(await page.locator(".budgets [data-mode]:visible").count() === 1, `${name}: and its loss budget`);
  await page.locator("#shapes").screenshot({ path: fresh(name + "-picked.png") });
  await page.selectOption("#pick", "1");
  const picture = page.locator("#mode-1 svg");
  await picture.scrollIntoViewIfNeeded();
  const box = await picture.boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  const read = async () => {
    const words = (await page.locator("#mode-1 .probe").textContent()).replace(/\u2212/g, "-");
    return words.match(/x (\S+) \u00b5m, y (\S+) \u00b5m: (\S+)/)?.slice(1).map(Number) ?? [NaN, NaN, NaN];
  };
  const [x, y, middle] = await read();
  check(Math.abs(x) < 1 && Math.abs(y) < 1 && Math.abs(Math.abs(middle) - 1) < 0.01,
    `${name}: the pointer reads the antinode (${x}, ${y}: ${middle})`);
  await picture.focus();
  for (let k = 0; k < 3; ++k) await page.keyboard.press("Shift+ArrowRight");
  const [right, , away] = await read();
  check(right > x + 10 && Math.abs(away) < 0.9 * Math.abs(middle), `${name}: arrow keys read elsewhere (${right}: ${away})`);
  await page.selectOption("#pick", "");
  check(await visibleCards(page) === modes, `${name}: and all again`);
  check(faults.length === 0, `${name}: a silent console while picking ${faults}`);
  await context.close();
};

const testPaper = async (browser, name, modes) => {
  const { context, page } = await open(browser, name, { viewport: { width: 1000, height: 900 }, colorScheme: "dark" });
  await page.selectOption("#pick", "2");
  await page.emulateMedia({ media: "print" });
  check(await visibleCards(page) === modes, `${name}: paper has all modes, whatever is picked`);
  check(!await page.locator("nav").isVisible(), `${name}: paper has no links to click`);
  const paper = await page.evaluate(() => getComputedStyle(document.body).backgroundColor);
  check(paper === "rgb(255, 255, 255)", `${name}: paper is white also for readers of dark pages`);
  for (const format of ["A4", "Letter"]) {
    const pdf = await page.pdf({ format, path: fresh(`${name}-${format}.pdf`) });
    const pages = (pdf.toString("latin1").match(/\/Type\s*\/Page[^s]/g) ?? []).length;
    check(pages >= 3 && pages <= 30, `${name}: it prints on ${format} (${pages} pages)`);
  }
  await context.close();
};

const testWithoutScripts = async (browser, name, modes) => {
  const { context, page } = await open(browser, name, { javaScriptEnabled: false });
  check(await visibleCards(page) === modes, `${name}: without scripts all modes are there`);
  check(!await page.locator("#picker").isVisible(), `${name}: and no picker that does nothing`);
  await context.close();
};

const browser = await chromium.launch({ executablePath: chromiumPath, args: ["--no-sandbox"] });
try {
  for (const name of writeReports()) {
    const modes = { perforated: 12, measured: 6, field: 4, tethered: 4 }[name];
    check(statSync(fresh(name + ".html")).size < 2e6, `${name}: under 2 MB`);
    await testScreens(browser, name);
    await testPictures(browser, name);
    await testPaper(browser, name, modes);
    await testWithoutScripts(browser, name, modes);
    await testAxis(browser, name);
    await testBars(browser, name);
    if (name === "perforated" || name === "field") await testLimits(browser, name);
    if (name === "measured") await testPaperOf(browser, name);
    if (name === "tethered") await testOpenings(browser, name);
    if (name === "perforated" || name === "measured") await testPicker(browser, name, modes);
  }
} finally {
  await browser.close();
}
if (failures > 0) console.log(`${failures} checks failed`);
process.exit(failures > 0 ? 1 : 0);
