// As little of VS Code as `vscode-languageclient` needs to run: the module `vscode` for Node. What the client registers (providers, diagnostics, watchers) is kept, so that a test can ask as
// the editor's core would. Names follow VS Code's API, as they must.

const { TextDocument } = require("vscode-languageserver-textdocument");

class Disposable {
  constructor(end) {
    this.dispose = () => end?.();
  }
  static from(...all) {
    return new Disposable(() => all.forEach((d) => d.dispose()));
  }
}

class EventEmitter {
  #heard = new Set();
  event = (listener, self, disposables) => {
    const bound = self ? listener.bind(self) : listener;
    this.#heard.add(bound);
    const end = new Disposable(() => this.#heard.delete(bound));
    disposables?.push(end);
    return end;
  };
  fire(what) {
    for (const listener of [...this.#heard]) listener(what);
  }
  dispose() {
    this.#heard.clear();
  }
}

class Position {
  constructor(line, character) {
    Object.assign(this, { line, character });
  }
}
class Range {
  constructor(a, b, c, d) {
    this.start = c === undefined ? a : new Position(a, b);
    this.end = c === undefined ? b : new Position(c, d);
  }
  get isEmpty() {
    return this.start.line === this.end.line && this.start.character === this.end.character;
  }
}
class Uri {
  constructor(href) {
    const url = new URL(href);
    this.scheme = url.protocol.slice(0, -1);
    this.path = decodeURIComponent(url.pathname);
    this.fsPath = this.path;
    this.href = href;
  }
  static parse(href) {
    return new Uri(href);
  }
  static file(path) {
    return new Uri(require("node:url").pathToFileURL(path).href);
  }
  toString() {
    return this.href;
  }
}
class CancellationTokenSource {
  #emitter = new EventEmitter();
  token = { isCancellationRequested: false, onCancellationRequested: this.#emitter.event };
  cancel() {
    this.token.isCancellationRequested = true;
    this.#emitter.fire();
  }
  dispose() {}
}
class Diagnostic {
  constructor(range, message, severity) {
    Object.assign(this, { range, message, severity });
  }
}
class MarkdownString {
  constructor(value = "") {
    this.value = value;
  }
  appendCodeblock(code, language) {
    this.value += `\n\`\`\`${language ?? ""}\n${code}\n\`\`\`\n`;
  }
}
class Hover {
  constructor(contents, range) {
    Object.assign(this, { contents, range });
  }
}
class WorkspaceEdit {
  entries = new Map();
  set(uri, edits) {
    this.entries.set(uri.toString(), [...(this.entries.get(uri.toString()) ?? []), ...edits]);
  }
}
class TabInputText {
  constructor(uri) {
    this.uri = uri;
  }
}
class CancellationError extends Error {}

/** An enumeration: each name a number of its own, or the ones given. */
const numbers = (...names) => Object.fromEntries(names.map((name, i) => [name, i]));
const ENUMS = {
  DiagnosticSeverity: numbers("Error", "Warning", "Information", "Hint"),
  DiagnosticTag: { Unnecessary: 1, Deprecated: 2 },
  CompletionItemTag: { Deprecated: 1 },
  SymbolTag: { Deprecated: 1 },
  CompletionTriggerKind: numbers("Invoke", "TriggerCharacter", "TriggerForIncompleteCompletions"),
  CodeActionTriggerKind: { Invoke: 1, Automatic: 2 },
  FileType: numbers("Unknown", "File", "Directory", "SymbolicLink"),
  FoldingRangeKind: { Comment: 1, Imports: 2, Region: 3 },
  SymbolKind: { File: 0, Property: 6, TypeParameter: 25 },
  CompletionItemKind: { Text: 0 },
  LogLevel: numbers("Off", "Trace", "Debug", "Info", "Warning", "Error"),
  DocumentHighlightKind: numbers("Text", "Read", "Write"),
  TextDocumentSaveReason: { Manual: 1, AfterDelay: 2, FocusOut: 3 },
  ProgressLocation: { SourceControl: 1, Window: 10, Notification: 15 },
};
class CodeActionKind {
  constructor(value) {
    this.value = value;
  }
  append(part) {
    return new CodeActionKind(this.value ? `${this.value}.${part}` : part);
  }
}
for (const [name, value] of Object.entries({ Empty: "", QuickFix: "quickfix", Refactor: "refactor", RefactorExtract: "refactor.extract", RefactorInline: "refactor.inline", RefactorMove: "refactor.move", RefactorRewrite: "refactor.rewrite", Source: "source", SourceOrganizeImports: "source.organizeImports", SourceFixAll: "source.fixAll", Notebook: "notebook" })) {
  CodeActionKind[name] = new CodeActionKind(value);
}

/** What the client registered, by the name of the function that it called. */
const kept = { providers: {}, diagnostics: new Map(), watchers: [], commands: new Map(), output: [], problems: [] };
const events = {};
/** An event of the editor by its name, fired by tests. */
const event = (name) => (events[name] ??= new EventEmitter());

const documents = [];
class Document {
  constructor(uri, languageId, text) {
    this.uri = Uri.parse(uri);
    this.inner = TextDocument.create(uri, languageId, 1, text);
    this.isClosed = false;
    this.isDirty = false;
    this.fileName = this.uri.fsPath;
  }
  get languageId() {
    return this.inner.languageId;
  }
  get version() {
    return this.inner.version;
  }
  update(changes) {
    this.inner = TextDocument.update(this.inner, changes, this.version + 1);
  }
  getText() {
    return this.inner.getText();
  }
}

const channel = () => ({
  append: (t) => kept.output.push(t), appendLine: (t) => kept.output.push(t), clear() {}, show() {}, hide() {}, dispose() {}, name: "gudgeon", logLevel: 3, onDidChangeLogLevel: event("onDidChangeLogLevel").event,
  trace: (t) => kept.output.push(t), debug: (t) => kept.output.push(t), info: (t) => kept.output.push(t), warn: (t) => kept.output.push(t), error: (t) => kept.output.push(String(t)),
});
const says = (text) => {
  kept.problems.push(text);
  return Promise.resolve(undefined);
};

/** A module whose `on…` are events and whose `register…` keep what they are given. */
const area = (own) =>
  new Proxy(own, {
    get(target, key) {
      if (key in target || typeof key !== "string") return target[key];
      if (/^on[A-Z]/.test(key)) return event(key).event;
      if (/^register/.test(key)) {
        return (...given) => {
          (kept.providers[key] ??= []).push(given);
          return new Disposable(() => {
            kept.providers[key] = kept.providers[key].filter((g) => g !== given);
          });
        };
      }
      return undefined;
    },
  });

const vscode = {
  __esModule: true, // So that it is used as it is, and not copied name by name.
  Disposable, EventEmitter, Position, Range, Uri, CancellationTokenSource, CancellationError, Diagnostic, MarkdownString, Hover, WorkspaceEdit, TabInputText, CodeActionKind, ...ENUMS,
  version: "1.105.0",
  env: { language: "en", appName: "Visual Studio Code", openExternal: () => Promise.resolve(true) },
  window: area({
    createOutputChannel: channel, showErrorMessage: says, showInformationMessage: says, showWarningMessage: says, activeTextEditor: undefined, visibleTextEditors: [], tabGroups: { all: [], onDidChangeTabs: event("onDidChangeTabs").event },
    withProgress: (_, run) => run({ report() {} }, new CancellationTokenSource().token),
  }),
  languages: area({
    match: (selector, document) => ([].concat(selector).some((s) => (s.language ?? document.languageId) === document.languageId && (s.scheme ?? document.uri.scheme) === document.uri.scheme) ? 10 : 0),
    createDiagnosticCollection: () => ({ set: (uri, list) => (kept.diagnostics.set(uri.toString(), list), event("diagnostics").fire(uri.toString())), delete: (uri) => kept.diagnostics.delete(uri.toString()), clear: () => kept.diagnostics.clear(), dispose() {}, has: (uri) => kept.diagnostics.has(uri.toString()) }),
  }),
  workspace: area({
    workspaceFolders: undefined, textDocuments: documents, notebookDocuments: [], getConfiguration: () => ({ get: (_, other) => other, has: () => false, inspect: () => undefined }), getWorkspaceFolder: () => undefined,
    createFileSystemWatcher: (pattern) => {
      const made = { pattern, create: new EventEmitter(), change: new EventEmitter(), remove: new EventEmitter() };
      kept.watchers.push(made);
      return { onDidCreate: made.create.event, onDidChange: made.change.event, onDidDelete: made.remove.event, dispose() {} };
    },
    applyEdit: () => Promise.resolve(true),
  }),
  commands: area({ registerCommand: (name, run) => (kept.commands.set(name, run), new Disposable(() => kept.commands.delete(name))) }),
};

/** Every other class is one that keeps what it was made from. */
module.exports = new Proxy(vscode, {
  get(target, key) {
    if (key === "__bench") return { kept, event, documents, Document };
    if (key in target || typeof key !== "string" || !/^[A-Z]/.test(key)) return target[key];
    return (target[key] = { [key]: class { constructor(...given) { this.given = given; } } }[key]);
  },
});
