// The logs that are reported on: every sample, and three that are made here.
import { spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../../../", import.meta.url));
export const work = fileURLToPath(new URL(".work/", import.meta.url));

/** How many readings the long log has. */
const MANY = 10_000;

/** Text that would do something if any of it became live: `window.__hit` would be set, or an element or an attribute of these names would be there. */
const LIVE = "<img src=x onerror=window.__hit=1 data-live=1>";
export const HOSTILE_NAMES = { elements: ["script", "marquee", "iframe", "object", "embed", "form", "input"], attributes: ["data-live", "onerror", "onload", "onfocus", "autofocus"] };

/** Text that would turn the reading direction of its neighbours, and letters that are put together. */
const TURNED = "מסב ראשי \u202eabc\u202c \u2066def\u2069 e\u0301\u0327\u0489 نهاية";

/** A name may have no angle bracket; it may end an attribute, and have the beginning of a sign in it that needs no semicolon. */
const named = (word) => `${word}" autofocus 'x &lt &quot מסב`;

/** What is written in which field, in words that say which. Those of prose hold markup, those of names what a name may. */
const FIELDS = {
  job: `a job ${LIVE}`,
  machine: `a machine </title><script>window.__hit=2</script>`,
  owner: `an owner "><svg onload=window.__hit=3 data-live=1>`,
  by: `a hand " autofocus ' x`,
  tool: named("mic"),
  feature: named("width"),
  part: named("part"),
  place: named("place"),
  column: named("column"),
  row: named("row"),
  stage: named("stage"),
  step: named("press"),
  note: `a note </style></svg></table><script>window.__hit=5</script>`,
  prose: `plain words &lt;b&gt; &amp; <!-- <marquee> -->`,
  reason: `a reason <a href=javascript:window.__hit=6 data-live=1>here</a>`,
  condition: `worn <iframe srcdoc=x>`,
  number: `<marquee>4471-02`,
  photo: `pictures/"><marquee>.jpg`,
  tick: `<marquee>oiled`,
  detail: `<object data-live>`,
  unread: `<marquee>left</marquee>`,
  option: named("send out"),
  source: `common practice <input autofocus onfocus=window.__hit=8 data-live=1>`,
};

const HOSTILE = `job ${FIELDS.job}
machine ${FIELDS.machine}
owner ${FIELDS.owner}
by ${FIELDS.by}
hours 312
manual hostile

tool ${FIELDS.tool}: micrometer, reads to 0.01 mm, good to 0.004 mm

2026-03-14 ${FIELDS.stage}
${FIELDS.feature} of ${FIELDS.part} at ${FIELDS.place} = 52.53 mm by ${FIELDS.tool}, ${FIELDS.detail}
fix ${FIELDS.feature} of ${FIELDS.part} at ${FIELDS.place} 52.53 -> 52.03, ${FIELDS.reason}
web width = 52.33 mm by ${FIELDS.tool}, because ${FIELDS.reason}
web width of מסב = 52.03 mm
bore = mm by bore gauge
            ${FIELDS.column}  across
   ${FIELDS.row}   72.012  72.010
   bottom   72.013  72.012
found ${FIELDS.part}: ${FIELDS.condition}, replace
note ${FIELDS.note}
note ${TURNED}
${FIELDS.prose}
photo ${FIELDS.photo}
width of ${FIELDS.unread} = 52.03 mm
2026-03-20 goods in
ordered ${FIELDS.part}: number ${FIELDS.number}, price 129 EUR, from ${FIELDS.part}
got ${FIELDS.part}: number ${FIELDS.number}
option ${FIELDS.option}: work 95 EUR
2026-03-21 build
did ${FIELDS.step}, ${FIELDS.tick}, force 4 t on press, because ${FIELDS.reason}
undid ${FIELDS.step}, because ${TURNED}
held on ${FIELDS.detail}
`;

const HOSTILE_MANUAL = `manual hostile
source ${FIELDS.source}
units mm
feature web width
  build 51.90 to 52.05 mm, source ${FIELDS.source}
feature ${FIELDS.feature}
  build 51.90 to 52.05 mm
feature bore
  unit mm
`;

/** No reading, and a photo of one pixel. */
const NOTHING = "job nothing was read\nmachine Tarn 250, frame TN-0417\n\n2026-03-14 as found\nnote only looked at\nphoto dot.png\n";
const DOT = Buffer.from("iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==", "base64");

function long() {
  const lines = ["job ten thousand readings", "machine Tarn 250, frame TN-0417", "manual hostile", "tool mic: micrometer, reads to 0.01 mm, good to 0.004 mm"];
  for (let number = 0; number < MANY; number++) {
    if (number % 100 === 0) lines.push(`${new Date(Date.UTC(2026, 0, 1 + number / 100)).toISOString().slice(0, 10)} build`);
    lines.push(`web width of part ${number % 500} = ${(52 + ((number * 7) % 13) / 100).toFixed(2)} mm by mic`);
  }
  return `${lines.join("\n")}\n`;
}

function made(name, text) {
  const path = join(work, "logs", `${name}.rebuild`);
  writeFileSync(path, text);
  return path;
}

/** A report for each log: `{name, log (its text), path (of the report), page (its text), size (bytes), isSample}`. With ONLY, those whose name has it. */
export function reports() {
  for (const folder of ["logs", "pages"]) rmSync(work + folder, { recursive: true, force: true });
  for (const folder of ["logs/manuals", "pages"]) mkdirSync(work + folder, { recursive: true });
  writeFileSync(`${work}logs/manuals/hostile.manual`, HOSTILE_MANUAL);
  writeFileSync(`${work}logs/dot.png`, DOT);
  const samples = ["as-written", "corrected", "ahead"].flatMap((folder) => {
    const files = readdirSync(`${root}samples/${folder}`).filter((file) => file.endsWith(".rebuild")).sort();
    return files.map((file) => ({ name: `${folder}-${basename(file, ".rebuild")}`, path: `${root}samples/${folder}/${file}`, isSample: true }));
  });
  const own = { hostile: HOSTILE, nothing: NOTHING, long: long() };
  const logs = [...samples, ...Object.entries(own).map(([name, text]) => ({ name, path: made(name, text), isSample: false }))];
  const wanted = logs.filter(({ name }) => name.includes(process.env.ONLY ?? ""));
  if (wanted.length === 0) throw new Error(`ONLY=${process.env.ONLY}: the reports are ${logs.map(({ name }) => name).join(", ")}`);
  return wanted.map(({ name, path, isSample }) => {
    const page = `${work}pages/${name}.html`;
    const { status, stderr } = spawnSync(process.env.GUDGEON, ["report", path, "--out", page], { encoding: "utf8", timeout: 120_000 });
    if (status !== 0) throw new Error(`gudgeon report ${path} ended with ${status}: ${stderr}`);
    return { name, isSample, log: readFileSync(path, "utf8"), path: page, page: readFileSync(page, "utf8"), size: statSync(page).size };
  });
}

/** What stands behind a word of the head. */
export function head(log, word) {
  return new RegExp(`^${word} +(.*?) *(#.*)?$`, "m").exec(log)?.[1];
}

/** What a report of the hostile log has to show, word for word. */
export const HOSTILE_TEXTS = FIELDS;
