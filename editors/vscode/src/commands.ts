// What the palette offers, and what a click on a lens does.
import * as vscode from "vscode";
import { ExecuteCommandRequest, type LanguageClient, type Location, type Position } from "vscode-languageclient/node";

/** Pages of what comes next: plain text that cannot be written in, one for each log. */
export class NextPages implements vscode.TextDocumentContentProvider {
  static readonly scheme = "gudgeon-next";
  private readonly texts = new Map<string, string>();
  private readonly changed = new vscode.EventEmitter<vscode.Uri>();
  readonly onDidChange = this.changed.event;

  provideTextDocumentContent(page: vscode.Uri): string {
    return this.texts.get(page.toString()) ?? "";
  }

  /** Shows what comes next in a log beside it, anew if it is shown already. */
  async show(log: vscode.Uri, text: string): Promise<void> {
    const name = log.path.split("/").pop() || "log";
    const page = vscode.Uri.from({ scheme: NextPages.scheme, path: `/next: ${name}`, query: log.toString() });
    this.texts.set(page.toString(), text);
    this.changed.fire(page);
    const document = await vscode.workspace.openTextDocument(page);
    await vscode.languages.setTextDocumentLanguage(document, "gudgeon-next");
    await vscode.window.showTextDocument(document, { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true, preview: true });
  }

  forget(page: vscode.Uri): void {
    this.texts.delete(page.toString());
  }
}

/** Asks the server what is to be done next in a log, and shows it. */
export async function whatNext(client: LanguageClient, pages: NextPages, log: vscode.Uri): Promise<void> {
  const uri = client.code2ProtocolConverter.asUri(log);
  const text: unknown = await client.sendRequest(ExecuteCommandRequest.type, { command: "gudgeon.next", arguments: [uri] });
  if (typeof text === "string") {
    await pages.show(log, text);
  }
}

/** Asks for a manual's name, opens an empty log, and has the server write the sheet into it. */
export async function newLog(client: LanguageClient): Promise<void> {
  const manual = await askManual();
  if (!manual) {
    return;
  }
  const document = await vscode.workspace.openTextDocument({ language: "rebuild" });
  await vscode.window.showTextDocument(document);
  const uri = client.code2ProtocolConverter.asUri(document.uri);
  await client.sendRequest(ExecuteCommandRequest.type, { command: "gudgeon.start", arguments: [uri, manual] });
}

/** The name of a manual: one of those in the workspace, or one that is typed, such as a manual of the shelf. */
async function askManual(): Promise<string | undefined> {
  // Where files cannot be searched for, a name can still be typed.
  const files = await vscode.workspace.findFiles("**/*.manual", undefined, 200).then(undefined, () => []);
  const names = files.map((file) => file.path.split("/").pop()?.replace(/\.manual$/i, "") ?? "");
  const known = [...new Set(names)].filter(Boolean).sort().map((label) => ({ label }));
  const pick = vscode.window.createQuickPick();
  pick.title = "New log from a manual";
  pick.placeholder = "The manual's name; any manual of the shelf may be typed, such as pressed crank";
  pick.items = known;
  return new Promise((resolve) => {
    pick.onDidChangeValue((typed) => {
      const isNew = typed.trim() && !known.some(({ label }) => label === typed.trim());
      pick.items = isNew ? [...known, { label: typed.trim(), description: "as typed", alwaysShow: true }] : known;
    });
    pick.onDidAccept(() => {
      resolve(pick.activeItems[0]?.label ?? (pick.value.trim() || undefined));
      pick.hide();
    });
    pick.onDidHide(() => {
      resolve(undefined);
      pick.dispose();
    });
    pick.show();
  });
}

/** Shows the places that a lens speaks of, in the editor's own list. */
export async function showPlaces(client: LanguageClient, uri: string, position: Position, places: Location[]): Promise<void> {
  const convert = client.protocol2CodeConverter;
  await vscode.commands.executeCommand(
    "editor.action.showReferences",
    convert.asUri(uri),
    convert.asPosition(position),
    places.map((place) => convert.asLocation(place)),
  );
}
