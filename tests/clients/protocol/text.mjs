// A text as a client keeps it: positions in each of the three encodings, and edits carried out. Offsets are JavaScript's, UTF-16 units.
//
// Lines and UTF-16 columns are those of Microsoft's `vscode-languageserver-textdocument`; only the other two ways of counting are added here.

import { TextDocument } from "vscode-languageserver-textdocument";

export const ENCODINGS = ["utf-8", "utf-16", "utf-32"];

/** How many units of an encoding a piece of text has. */
export function units(text, encoding) {
  if (encoding === "utf-8") return Buffer.byteLength(text);
  return encoding === "utf-32" ? [...text].length : text.length;
}

export class Text {
  constructor(text, encoding = "utf-16") {
    this.encoding = encoding;
    this.document = TextDocument.create("file:///x", "rebuild", 1, text);
  }

  get text() {
    return this.document.getText();
  }

  get lineCount() {
    return this.document.lineCount;
  }

  /** A line without its end. */
  line(number) {
    if (number >= this.lineCount) return "";
    const from = { line: number, character: 0 };
    const to = { line: number + 1, character: 0 };
    return this.document.getText({ start: from, end: to }).replace(/[\r\n]+$/, "");
  }

  /** The position of an offset. */
  at(offset) {
    const { line, character } = this.document.positionAt(offset);
    return { line, character: units(this.line(line).slice(0, character), this.encoding) };
  }

  /** The offset of a position; past the end of its line that end, past the last line the end of the text, inside a character before it. */
  offset({ line, character }) {
    if (line >= this.lineCount) return this.text.length;
    const start = this.document.offsetAt({ line, character: 0 });
    let seen = 0;
    let at = start;
    for (const c of this.line(line)) {
      seen += units(c, this.encoding);
      if (seen > character) break;
      at += c.length;
    }
    return at;
  }

  range(start, end) {
    return { start: this.at(start), end: this.at(end) };
  }

  /** What a range covers. */
  slice({ start, end }) {
    return this.text.slice(this.offset(start), this.offset(end));
  }

  /** The text after a change of `didChange`; a new one, this stays as it is. */
  changed({ range, text }) {
    if (!range) return new Text(text, this.encoding);
    return new Text(this.text.slice(0, this.offset(range.start)) + text + this.text.slice(this.offset(range.end)), this.encoding);
  }

  /** The text after a list of edits that all speak of this one, as `textDocument/formatting` gives them. */
  edited(edits) {
    const own = edits.map(({ range, newText }) => [this.offset(range.start), this.offset(range.end), newText]);
    own.sort((a, b) => b[0] - a[0] || b[1] - a[1]);
    let text = this.text;
    for (const [start, end, newText] of own) text = text.slice(0, start) + newText + text.slice(end);
    return text;
  }

  /** Where a piece of the text stands first, `into` units of UTF-16 further. */
  find(piece, into = 0) {
    const offset = this.text.indexOf(piece);
    if (offset < 0) throw new Error(`${piece} is not in the text`);
    return this.at(offset + into);
  }
}
