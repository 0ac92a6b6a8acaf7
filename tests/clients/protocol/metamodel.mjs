// A validator of messages: both directions, requests, notifications and answers, by their method.
//
// What the protocol's declarations say in words and not in types is put in here: the range of integers, what a URI is, that the keys of some maps are URIs.

import Ajv from "ajv";
import { description } from "./description.mjs";

/** The types that are only a number or a string to TypeScript. */
const NARROWER = {
  integer: { type: "integer", minimum: -(2 ** 31), maximum: 2 ** 31 - 1 },
  uinteger: { type: "integer", minimum: 0, maximum: 2 ** 31 - 1 },
  URI: { type: "string", format: "uri-with-scheme" },
  DocumentUri: { type: "string", format: "uri-with-scheme" },
  LSPAny: {},
};
const REF = (name) => ({ $ref: `#/definitions/${encodeURIComponent(name)}` });

/** What a server may answer that no method's declaration tells: https://www.jsonrpc.org/specification, and the codes of the protocol. */
const ENVELOPE = {
  request: ["jsonrpc", "id", "method", "params"],
  notification: ["jsonrpc", "method", "params"],
  answer: ["jsonrpc", "id", "result", "error"],
};

function isUri(text) {
  return /^[A-Za-z][A-Za-z0-9+.-]*:[^\s<>"{}|\\^`]*$/.test(text) && URL.canParse(text);
}

/** The definitions with the narrower types; `strict` keeps structures closed to properties that the protocol does not know. */
function definitions(described, strict) {
  const made = structuredClone(described);
  Object.assign(made, NARROWER);
  const keyed = [made.WorkspaceEdit?.properties.changes, ...Object.values(made).map((d) => d.properties?.relatedDocuments)];
  for (const map of keyed) if (map) map.propertyNames = REF("DocumentUri");
  // The package lets anything stand in the answer to `initialize`, for the sake of old servers; the protocol does not.
  for (const name of Object.keys(made)) if (name.startsWith("InitializeResult<")) made[name].additionalProperties = false;
  const open = (node) => {
    if (Array.isArray(node)) node.forEach(open);
    else if (node && typeof node === "object") {
      if (node.additionalProperties === false) delete node.additionalProperties;
      Object.values(node).forEach(open);
    }
  };
  if (!strict) open(made);
  return made;
}

/** Where a value is wrong and why; the branches of a choice that went least far are left out. */
function reasons(errors, root) {
  const depth = (e) => e.instancePath.split("/").length + (e.keyword === "additionalProperties" ? 0.5 : 0);
  const told = errors.filter((e) => !["anyOf", "oneOf", "if", "$ref"].includes(e.keyword) && e.schemaPath !== "#/not");
  const deepest = Math.max(...told.map(depth));
  const kept = told.filter((e) => depth(e) === deepest);
  const text = (e) => {
    const more = { additionalProperties: e.params.additionalProperty, enum: e.params.allowedValues?.join(", "), const: e.params.allowedValue }[e.keyword];
    return { path: root + e.instancePath, reason: `${e.message}${more === undefined ? "" : `: ${more}`}` };
  };
  const seen = new Map((kept.length ? kept : errors).map(text).map((r) => [`${r.path} ${r.reason}`, r]));
  return [...seen.values()].slice(0, 8);
}

/** Validates messages of the protocol. */
export class MetaModel {
  static async load() {
    return new MetaModel(await description());
  }

  constructor(described) {
    this.version = described.version;
    this.methods = new Map(described.methods.map((m) => [m.method, m]));
    this.ajv = {};
    for (const strict of [true, false]) {
      const ajv = new Ajv({ allErrors: true, strict: false, allowUnionTypes: true, formats: { "uri-with-scheme": isUri } });
      ajv.addSchema({ $id: "protocol", definitions: definitions(described.definitions, strict) });
      this.ajv[strict] = ajv;
    }
    this.compiled = new Map();
  }

  /** Holds a value against a type by its name, as `Position` or `HoverRequest_result`; a list of `{ path, reason }`, empty if it is right. */
  value(type, value, { strict = true, root = "" } = {}) {
    if (type === true) return [];
    const key = `${type} ${strict}`;
    if (!this.compiled.has(key)) this.compiled.set(key, this.ajv[strict].compile({ $ref: `protocol#/definitions/${encodeURIComponent(type)}` }));
    const validate = this.compiled.get(key);
    return validate(value) ? [] : reasons(validate.errors, root);
  }

  /**
   * Holds a whole message against the protocol. `sender` is `server` or `client`; `asked` is the request that an answer is to. What a server sends may have no property that the protocol
   * does not know; clients are known to send more. `own` are methods of the server's own, whose params and answers may be anything.
   */
  message(message, { sender, asked, own = [] }) {
    const strict = sender === "server";
    if (message === null || typeof message !== "object" || Array.isArray(message)) return [{ path: "", reason: "must be one object" }];
    const kind = "method" in message ? ("id" in message ? "request" : "notification") : "answer";
    const found = [];
    for (const key of Object.keys(message)) if (!ENVELOPE[kind].includes(key)) found.push({ path: `/${key}`, reason: `no part of a ${kind}` });
    if (message.jsonrpc !== "2.0") found.push({ path: "/jsonrpc", reason: "must be 2.0" });
    if (kind !== "notification" && !(typeof message.id === "string" || Number.isInteger(message.id)) && !(kind === "answer" && message.id === null && message.error)) {
      found.push({ path: "/id", reason: "must be an integer or a string" });
    }
    if (kind === "answer") return [...found, ...this.#answer(message, asked, strict, own)];
    const known = this.methods.get(message.method);
    if (!known) {
      if (!own.includes(message.method) && !message.method.startsWith("$/")) found.push({ path: "/method", reason: `no method of the protocol: ${message.method}` });
      return found;
    }
    if (known.kind !== kind) found.push({ path: "/method", reason: `${message.method} is a ${known.kind}` });
    const way = sender === "server" ? "serverToClient" : "clientToServer";
    if (known.direction !== "both" && known.direction !== way) found.push({ path: "/method", reason: `${message.method} goes ${known.direction}` });
    if (!known.params) {
      if (message.params !== undefined) found.push({ path: "/params", reason: "has none" });
      return found;
    }
    found.push(...this.value(known.params, message.params ?? null, { strict, root: "/params" }));
    if (!found.length) found.push(...this.#deeper(message, strict));
    return found;
  }

  /** What stands in a value that the protocol calls `any`, but tells elsewhere. */
  #deeper({ method, params }, strict) {
    if (method === "client/registerCapability") {
      return params.registrations.flatMap((r, i) => {
        const options = this.methods.get(r.method)?.options;
        if (!this.methods.has(r.method)) return [{ path: `/params/registrations/${i}/method`, reason: `no method of the protocol: ${r.method}` }];
        return options && r.registerOptions !== undefined ? this.value(options, r.registerOptions, { strict, root: `/params/registrations/${i}/registerOptions` }) : [];
      });
    }
    if (method === "$/progress" && ["begin", "report", "end"].includes(params.value?.kind) && typeof params.value.items === "undefined") {
      return this.value(`Progress_${params.value.kind}`, params.value, { strict, root: "/params/value" });
    }
    return [];
  }

  #answer(message, asked, strict, own) {
    const found = [];
    const has = (key) => Object.hasOwn(message, key);
    if (has("result") === has("error")) found.push({ path: "", reason: "must have a result or an error, one of them" });
    if (has("error")) {
      const { code, message: text, ...rest } = message.error ?? {};
      if (!Number.isInteger(code)) found.push({ path: "/error/code", reason: "must be an integer" });
      if (typeof text !== "string") found.push({ path: "/error/message", reason: "must be a string" });
      for (const key of Object.keys(rest)) if (key !== "data") found.push({ path: `/error/${key}`, reason: "no part of an error" });
      return found;
    }
    if (!asked) return [...found, { path: "/id", reason: "answers no request" }];
    const known = this.methods.get(asked.method);
    if (!known || own.includes(asked.method)) return found;
    if (!known.result) {
      if (message.result !== null) found.push({ path: "/result", reason: `${asked.method} answers null` });
      return found;
    }
    return [...found, ...this.value(known.result, message.result, { strict, root: "/result" })];
  }
}
