// A client over Microsoft's JSON-RPC library: every message is kept and held against the protocol, and what a server may do at all is held against what the client declared.

import assert from "node:assert/strict";
import rpc from "vscode-jsonrpc/node";
import { MetaModel } from "./metamodel.mjs";
import { Server, within } from "./server.mjs";

export const protocol = await MetaModel.load();

/** Whether findings are to be pulled: by a client that asks for that and can be told to ask again, since an edited manual changes what is found in a log that was not touched. */
export const pullsFindings = (c) => Boolean(c.textDocument?.diagnostic && c.workspace?.diagnostics?.refreshSupport);

/** What a client says it can do when a test does not care: everything that the server may use, push diagnostics. */
export const EVERYTHING = {
  general: { positionEncodings: ["utf-16"], staleRequestSupport: { cancel: true, retryOnContentModified: [] } },
  window: { workDoneProgress: true, showDocument: { support: true } },
  workspace: {
    applyEdit: true,
    workspaceEdit: { documentChanges: true },
    configuration: true,
    didChangeConfiguration: { dynamicRegistration: true },
    didChangeWatchedFiles: { dynamicRegistration: true, relativePatternSupport: true },
    workspaceFolders: true,
    semanticTokens: { refreshSupport: true },
    inlayHint: { refreshSupport: true },
    codeLens: { refreshSupport: true },
  },
  textDocument: {
    synchronization: { didSave: true },
    publishDiagnostics: { versionSupport: true, relatedInformation: true, codeDescriptionSupport: true, dataSupport: true, tagSupport: { valueSet: [1, 2] } },
    hover: { contentFormat: ["markdown", "plaintext"] },
    completion: { completionItem: { snippetSupport: true, documentationFormat: ["markdown", "plaintext"], resolveSupport: { properties: ["documentation"] } } },
    codeAction: { codeActionLiteralSupport: { codeActionKind: { valueSet: ["", "quickfix", "refactor", "refactor.rewrite", "source", "source.fixAll"] } }, dataSupport: true, isPreferredSupport: true, resolveSupport: { properties: ["edit"] } },
    rename: { prepareSupport: true },
    documentSymbol: { hierarchicalDocumentSymbolSupport: true },
    semanticTokens: { requests: { range: true, full: { delta: true } }, tokenTypes: [], tokenModifiers: [], formats: ["relative"], multilineTokenSupport: false, overlappingTokenSupport: false },
    foldingRange: { lineFoldingOnly: true },
    inlayHint: { resolveSupport: { properties: ["tooltip"] } },
    definition: { linkSupport: true },
    documentLink: { tooltipSupport: true },
  },
};

/** A copy of nested objects with some parts put in another way; `undefined` takes a part out. */
export function but(base, changes) {
  if (changes === null || typeof changes !== "object" || Array.isArray(changes)) return changes;
  const made = base && typeof base === "object" && !Array.isArray(base) ? { ...base } : {};
  for (const [key, value] of Object.entries(changes)) {
    if (value === undefined) delete made[key];
    else made[key] = but(made[key], value);
  }
  return made;
}

/** What a server may only send if the client declared it: method to the declaration. */
const ALLOWED = {
  "workspace/configuration": (c) => c.workspace?.configuration,
  "workspace/applyEdit": (c) => c.workspace?.applyEdit,
  "workspace/workspaceFolders": (c) => c.workspace?.workspaceFolders,
  "window/workDoneProgress/create": (c) => c.window?.workDoneProgress,
  "window/showDocument": (c) => c.window?.showDocument?.support,
  "workspace/diagnostic/refresh": pullsFindings,
  "workspace/semanticTokens/refresh": (c) => c.workspace?.semanticTokens?.refreshSupport,
  "workspace/inlayHint/refresh": (c) => c.workspace?.inlayHint?.refreshSupport,
  "workspace/codeLens/refresh": (c) => c.workspace?.codeLens?.refreshSupport,
  "workspace/foldingRange/refresh": (c) => c.workspace?.foldingRange?.refreshSupport,
  "textDocument/publishDiagnostics": (c) => !pullsFindings(c),
};
/** Where the client says that a method may be registered later. */
const REGISTRABLE = {
  "workspace/didChangeWatchedFiles": (c) => c.workspace?.didChangeWatchedFiles,
  "workspace/didChangeConfiguration": (c) => c.workspace?.didChangeConfiguration,
  "workspace/symbol": (c) => c.workspace?.symbol,
  "workspace/executeCommand": (c) => c.workspace?.executeCommand,
  "textDocument/diagnostic": pullsFindings,
};

/** One session with a server. */
export class Client {
  /**
   * Starts a server; nothing is said to it yet. `answers` is how the client answers the server's requests: by method a function, or `"silent"` for none at all. `own` are the methods of the server's own.
   */
  constructor({ cwd, program, args, answers = {}, env, own = [] } = {}) {
    this.server = new Server({ cwd, program, args, env });
    this.messages = [];
    this.problems = [];
    this.nulls = []; // Methods that were sent with `"params": null` where there are none: a test of its own, in cases/wire.test.mjs.
    this.capabilities = {};
    this.own = own;
    this.asked = new Map(); // Our requests by id: { message, answers }.
    this.served = new Map(); // The server's requests by id.
    this.opened = new Map(); // By URI how many times it was opened; no number any more once it was closed.
    this.versions = new Map(); // By URI the version of the latest diagnostics of a text that is open.
    this.waiters = new Set();
    this.timeout = 10_000;
    this.leaving = false;
    const reader = new rpc.StreamMessageReader(this.server.child.stdout);
    const writer = new rpc.StreamMessageWriter(this.server.child.stdin);
    this.connection = rpc.createMessageConnection(this.#taped(reader, "server"), this.#taped(writer, "client"));
    // Once it was told to go, answers to what the server still asked may find no reader any more.
    this.connection.onError(([error]) => this.leaving || this.problems.push(`the connection: ${error}`));
    this.connection.onRequest((method, params) => this.#serve(answers, method, params));
    this.connection.onNotification(() => {});
    this.connection.onUnhandledNotification(() => {});
    this.connection.listen();
  }

  /** The library's reader or writer with a tape beside it. */
  #taped(transport, sender) {
    return new Proxy(transport, {
      get: (target, key) => {
        if (key === "listen") return (heard) => target.listen((message) => (this.#keep(message, sender), heard(message)));
        if (key === "write") return (message) => (this.#keep(message, sender), target.write(message));
        const value = target[key];
        return typeof value === "function" ? value.bind(target) : value;
      },
    });
  }

  #keep(given, sender) {
    // As it goes over the wire: what is undefined is not there.
    const message = JSON.parse(JSON.stringify(given));
    this.messages.push({ sender, at: performance.now(), message });
    const asked = sender === "server" ? this.asked.get(message.id)?.message : this.served.get(message.id);
    const wrong = protocol.message(message, { sender, asked, own: this.own }).filter((w) => !(message.params === null && w.path === "/params" && sender === "server" && this.nulls.push(message.method)));
    const name = message.method ?? `the answer to ${asked?.method ?? "nothing"}`;
    if (wrong.length) this.problems.push(`${sender}, ${name}: ${wrong.map((w) => `${w.path} ${w.reason}`).join("; ")} in ${JSON.stringify(message).slice(0, 600)}`);
    if (sender === "client") this.#ours(message);
    else this.#theirs(message);
    for (const waiter of [...this.waiters]) waiter(message, sender);
  }

  #ours(message) {
    if (message.method && message.id !== undefined) this.asked.set(message.id, { message, answers: 0 });
    if (message.method === "exit") this.leaving = true;
    if (message.method === "initialize") this.capabilities = message.params.capabilities;
    if (message.method === "textDocument/didOpen") this.opened.set(message.params.textDocument.uri, (this.opened.get(message.params.textDocument.uri) ?? 0) + 1);
    // What is on its way when a text is closed may still come, and if it is opened again it cannot be told from what comes for that: such texts are left to tests.
    if (message.method === "textDocument/didClose") this.opened.set(message.params.textDocument.uri, Infinity);
  }

  #theirs(message) {
    const wrong = (text) => this.problems.push(`${text}: ${JSON.stringify(message).slice(0, 400)}`);
    if (!message.method) {
      const asked = this.asked.get(message.id);
      if (!asked) return void (message.id === null || wrong("an answer to nothing"));
      if (++asked.answers > 1) wrong(`${asked.message.method} answered ${asked.answers} times`);
      return;
    }
    if (message.id !== undefined) {
      if (this.served.has(message.id)) wrong("an id used twice");
      this.served.set(message.id, message);
    }
    const allowed = ALLOWED[message.method];
    if (allowed && !allowed(this.capabilities)) wrong(`${message.method} was not declared by the client`);
    if (message.method === "client/registerCapability") {
      for (const { method } of message.params?.registrations ?? []) {
        const place = REGISTRABLE[method]?.(this.capabilities) ?? this.capabilities.textDocument?.[method.replace("textDocument/", "")];
        if (!place?.dynamicRegistration) wrong(`${method} may not be registered`);
      }
    }
    if (message.method === "textDocument/publishDiagnostics") {
      const { uri, version } = message.params;
      if (this.opened.get(uri) !== 1) return;
      const latest = this.versions.get(uri);
      // Of a text that is open there are only diagnostics of its versions; what lies on disk is told before it was opened or after it was closed.
      if (version === undefined && latest !== undefined) wrong(`diagnostics without a version after those of version ${latest}, of an open text`);
      if (version !== undefined && latest !== undefined && version < latest) wrong(`diagnostics went back from version ${latest}`);
      if (version !== undefined) this.versions.set(uri, version);
    }
  }

  #serve(answers, method, params) {
    if (answers === "silent") return new Promise(() => {});
    if (answers[method]) return answers[method](params);
    if (method === "workspace/configuration") return params.items.map(() => null);
    if (method === "workspace/applyEdit") return { applied: true };
    if (method === "window/showDocument") return { success: true };
    return null;
  }

  /** A request; rejects with the server's error. */
  request(method, params, token) {
    const sent = params === undefined ? this.connection.sendRequest(method, ...(token ? [token] : [])) : this.connection.sendRequest(method, params, ...(token ? [token] : []));
    return within(this.timeout, sent, () => `${method}; the server said: ${this.server.stderr.slice(-400)}`);
  }

  /** A request on a document: `textDocument/METHOD` at a position, with more. */
  at(method, uri, position, more = {}) {
    return this.request(`textDocument/${method}`, { textDocument: { uri }, ...(position && { position }), ...more });
  }

  notify(method, params) {
    return params === undefined ? this.connection.sendNotification(method) : this.connection.sendNotification(method, params);
  }

  async initialize({ root, folders = root ? [root] : [], capabilities = EVERYTHING, params = {}, initialized = true } = {}) {
    const workspaceFolders = folders.map((uri, i) => ({ uri, name: `bench ${i + 1}` }));
    const rootUri = folders[0] ?? null;
    this.welcome = await this.request("initialize", { processId: process.pid, rootUri, workspaceFolders: workspaceFolders.length ? workspaceFolders : null, capabilities, ...params });
    if (initialized) await this.notify("initialized", {});
    return this.welcome;
  }

  /** What the server counts columns in. */
  get encoding() {
    return this.welcome.capabilities.positionEncoding ?? "utf-16";
  }

  open(uri, text, { version = 1, languageId = uri.endsWith(".manual") ? "rebuild-manual" : "rebuild" } = {}) {
    return this.notify("textDocument/didOpen", { textDocument: { uri, languageId, version, text } });
  }

  change(uri, version, contentChanges) {
    return this.notify("textDocument/didChange", { textDocument: { uri, version }, contentChanges });
  }

  close(uri) {
    return this.notify("textDocument/didClose", { textDocument: { uri } });
  }

  /** The text as the server holds it. */
  text(uri) {
    return this.request("workspace/executeCommand", { command: "gudgeon.text", arguments: [uri] });
  }

  /** All that one side sent of a method. */
  sent(method, sender = "server") {
    return this.messages.filter((m) => m.sender === sender && m.message.method === method).map((m) => m.message);
  }

  /** The first message of the server, from now on or sent since the message `since`, that fits. */
  heard(fits, what, { since = this.messages.length, ms = this.timeout } = {}) {
    const before = this.messages.slice(since).find((m) => m.sender === "server" && fits(m.message));
    if (before) return Promise.resolve(before.message);
    let waiter;
    const found = new Promise((done) => {
      waiter = (message, sender) => sender === "server" && fits(message) && done(message);
      this.waiters.add(waiter);
    });
    return within(ms, found, () => `${what}; the server said: ${this.server.stderr.slice(-400)}`).finally(() => this.waiters.delete(waiter));
  }

  /** The diagnostics of a version that were pushed, or will be. */
  async diagnostics(uri, version, ms = this.timeout) {
    const fits = (m) => m.method === "textDocument/publishDiagnostics" && m.params.uri === uri && (version === undefined || m.params.version >= version);
    return (await this.heard(fits, `diagnostics of ${uri} at version ${version}`, { since: 0, ms })).params;
  }

  /** Ends the session as the protocol asks and says whether all was right on the way. */
  async stop({ close = true } = {}) {
    try {
      assert.equal(await this.request("shutdown"), null);
      await this.notify("exit");
      if (close) this.server.child.stdin.end();
      const { code, signal } = await this.server.end();
      assert.deepEqual({ code, signal }, { code: 0, signal: null }, `how it ended; it said: ${this.server.stderr.slice(-800)}`);
    } finally {
      this.drop();
    }
    this.verify();
  }

  /** What was wrong so far. */
  verify() {
    const open = [...this.asked.values()].filter((a) => a.answers === 0).map((a) => `${a.message.method} (id ${a.message.id}) was never answered`);
    assert.deepEqual([...this.problems, ...open], []);
    assert.doesNotMatch(this.server.stderr, /panicked/);
  }

  /** Lets go of everything, whatever state it is in. */
  drop() {
    this.server.kill();
    this.connection.dispose();
  }
}

/** A session on a folder of its own, ended and verified with its test. `files` are written first; `uri(name)` names one. */
export async function session(t, { files = {}, capabilities, params, answers, env, own, initialized, workspace = true } = {}) {
  const { folder, uriOf } = await import("./server.mjs");
  const root = folder(t, files);
  const client = new Client({ cwd: root, answers, env, own });
  t.after(() => client.drop());
  client.root = root;
  client.uri = (name) => uriOf(`${root}/${name}`);
  await client.initialize({ root: workspace ? uriOf(root) : undefined, capabilities, params, initialized });
  return client;
}
