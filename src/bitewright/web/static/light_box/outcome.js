// What the marks tell: the same words as the command line.
import { overlapWords } from "../overlap.js";
import { SIGNS } from "../signs.js";

const body = document.querySelector("#contacts tbody");
const list = document.getElementById("criteria");
const grade = document.getElementById("grade");
const doubt = document.getElementById("grade-doubt");
const box = document.getElementById("explanation");
const drawing = document.getElementById("drawing");
const empty = document.getElementById("why-empty");

function element(name, text = "", kind = "") {
  const made = document.createElement(name);
  made.textContent = text;
  if (kind) made.className = kind;
  return made;
}

const capital = (text) => text.replace(/^./, (c) => c.toUpperCase());
const asSentence = (text) => `${capital(text).replace(/\.$/, "")}.`;

// Every movement as the command line's table has it: the paragraph beside it refers to it.
function movementsTable(rows) {
  const held = element("div", "", "movements"), made = document.createElement("table"), head = element("tr");
  held.tabIndex = 0;
  held.role = "region";
  held.ariaLabel = "Table of movements";
  for (const words of ["Movement", "About", "90% between", "For the best exposure?"]) {
    const cell = element("th", words);
    cell.scope = "col";
    head.append(cell);
  }
  made.append(element("thead"), element("tbody"));
  made.tHead.append(head);
  made.tBodies[0].append(...rows.map((row) => {
    const line = element("tr"), name = element("th", capital(row.name));
    name.scope = "row";
    line.append(name, ...[row.about, row.between, row.need].map((words) => element("td", words)));
    return line;
  }));
  held.append(made);
  return held;
}

const measure = (contact) => {
  if (contact.overlap_mm === null) return "";
  const size = overlapWords(contact.overlap_mm);
  return contact.overlap_sd_mm ? `${size} ± ${contact.overlap_sd_mm.toFixed(2)} mm` : `${size} mm`;
};

const nothing = document.getElementById("outcome-empty");
const table = document.getElementById("contacts");

export function show(assessment) {
  nothing.hidden = true;
  table.hidden = false;
  body.replaceChildren(
    ...assessment.contacts.map((contact) => {
      const [sign, kind] = SIGNS[contact.told];
      const row = element("tr");
      const name = element("th", contact.contact);
      name.scope = "row";
      const state = element("td", "", kind);
      state.append(element("b", sign), contact.told);
      state.firstChild.setAttribute("aria-hidden", "true");
      row.append(name, element("td", measure(contact), "figure"), state);
      return row;
    }),
  );
  list.replaceChildren(
    ...assessment.criteria.map((finding) => {
      const [sign, kind] = SIGNS[finding.outcome];
      const item = element("li", "", kind);
      // A sentence of what cannot be told names no criterion: here no column does.
      const which = finding.outcome === "cannot tell" ? `${capital(finding.title)}: ${finding.sentence.replace(/^./, (c) => c.toLowerCase())}` : finding.sentence;
      item.append(element("b", sign), which);
      item.firstChild.setAttribute("aria-hidden", "true");
      item.title = finding.source;
      return item;
    }),
  );
  grade.textContent = `Rating ${assessment.rating.grade} (${assessment.rating.scheme_title})`;
  doubt.textContent = [assessment.rating.openness, assessment.rating.doubt].filter(Boolean).join(" ");
}

// The marks are to be checked first.
export function unrate() {
  grade.textContent = "";
  doubt.textContent = "Not rated: check the marks first.";
}

export function clear() {
  nothing.hidden = false;
  table.hidden = true;
  body.replaceChildren();
  list.replaceChildren();
  grade.textContent = "";
  doubt.textContent = "";
  forgetExplanation();
}

export function forgetExplanation() {
  empty.hidden = false;
  box.replaceChildren();
  drawing.replaceChildren();
}

// A drawing that is still on its way is wanted no more; one that is there stays.
export function endDrawing() {
  const picture = drawing.querySelector("img");
  if (!picture || picture.complete) return;
  picture.removeAttribute("src");
  picture.remove();
}

export function explain(answer, drawingAddress) {
  forgetExplanation();
  empty.hidden = true;
  const said = answer.explanation;
  if (said) {
    const causes = element("ul");
    causes.append(...[...said.sentences.causes, ...said.sentences.doubts].map((text) => element("li", asSentence(text))));
    const teacher = element("details");
    const sentences = said.sentences.teacher.split(/(?<=\.) (?=[A-Z])/); // a paragraph each, or nobody reads them
    teacher.append(element("summary", "For the teacher: what says so, and how to tell in the mouth"), movementsTable(said.table), ...sentences.map((text) => element("p", text)));
    const [first, ...rest] = said.sentences.operator.split(/(?<=\.) (?=[A-Z])/); // what to do first stands out
    box.append(element("p", first, "lead"), element("p", rest.join(" "), "after-lead"), causes, teacher, element("p", said.sentences.teacher, "paper-only"));
  }
  box.append(...answer.caveats.map((text) => element("p", text, "note")));
  if (drawingAddress) {
    const picture = document.createElement("img");
    picture.alt = "Drawing of the correction: from above, from the side and along the row.";
    picture.src = drawingAddress;
    drawing.append(picture);
  }
}
