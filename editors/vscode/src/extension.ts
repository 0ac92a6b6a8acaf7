// Starts the server and carries what the editor and it say to each other. What is said of a log or a manual comes from the server.
import * as vscode from "vscode";
import { LanguageClient, RevealOutputChannelOn, State, type Location, type Position } from "vscode-languageclient/node";
import { NextPages, newLog, showPlaces, whatNext } from "./commands";
import { locate } from "./server";

const SECTION = "gudgeon";
const PATH = "server.path";

let client: LanguageClient | undefined;
let output: vscode.LogOutputChannel;
let pages: NextPages;

export async function activate(context: vscode.ExtensionContext): Promise<void> {
  output = vscode.window.createOutputChannel("Gudgeon", { log: true });
  pages = new NextPages();
  const command = (name: string, run: (...words: never[]) => Promise<void>) =>
    vscode.commands.registerCommand(name, async (...words: unknown[]) => {
      try {
        await run(...(words as never[]));
      } catch (error) {
        void vscode.window.showErrorMessage(error instanceof Error ? error.message : String(error));
      }
    });
  context.subscriptions.push(
    output,
    vscode.workspace.registerTextDocumentContentProvider(NextPages.scheme, pages),
    vscode.workspace.onDidCloseTextDocument(({ uri }) => pages.forget(uri)),
    vscode.workspace.onDidChangeConfiguration(async (change) => {
      if (change.affectsConfiguration(`${SECTION}.${PATH}`)) {
        await restart();
      }
    }),
    command("gudgeon.restart", restart),
    command("gudgeon.newLog", async () => newLog(await running())),
    command("gudgeon.whatNext", async () => {
      const log = vscode.window.activeTextEditor?.document;
      if (log?.languageId === "rebuild") {
        await whatNext(await running(), pages, log.uri);
      }
    }),
    command("gudgeon.showPlaces", async (uri: string, position: Position, places: Location[]) => {
      await showPlaces(await running(), uri, position, places);
    }),
  );
  await start();
}

export async function deactivate(): Promise<void> {
  await stop();
}

/** The client, once its server answers. */
async function running(): Promise<LanguageClient> {
  if (client?.state !== State.Running) {
    await restart();
  }
  if (client?.state !== State.Running) {
    throw new Error("Gudgeon's server does not run, so this cannot be answered.");
  }
  return client;
}

async function restart(): Promise<void> {
  await stop();
  await start();
}

async function stop(): Promise<void> {
  const ending = client;
  client = undefined;
  try {
    await ending?.dispose();
  } catch (error) {
    output.error(`the server did not end as it should: ${String(error)}`);
  }
}

async function start(): Promise<void> {
  const setting = vscode.workspace.getConfiguration(SECTION).get<string>(PATH, "gudgeon");
  const folder = vscode.workspace.workspaceFolders?.find(({ uri }) => uri.scheme === "file")?.uri.fsPath;
  const program = locate(setting, folder);
  if (!program) {
    tell(`There is no program \`${setting}\`, so nothing is judged. Install Gudgeon (\`cargo install --path .\` in its folder) or say where it lies.`);
    return;
  }
  const starting = new LanguageClient(
    SECTION,
    "Gudgeon",
    { command: program, args: ["serve"], options: folder ? { cwd: folder } : {} },
    {
      documentSelector: ["rebuild", "rebuild-manual"].flatMap((language) => [
        { scheme: "file", language },
        { scheme: "untitled", language },
      ]),
      initializationOptions: { showPlaces: true, showNext: true },
      outputChannel: output,
      revealOutputChannelOn: RevealOutputChannelOn.Never,
      middleware: {
        // A lens, and whoever else runs the server's command, gets the whole page instead of a value that nobody shows.
        executeCommand: async (name, words, next) => {
          const uri: unknown = words[0];
          if (name === "gudgeon.next" && typeof uri === "string" && client) {
            await whatNext(client, pages, client.protocol2CodeConverter.asUri(uri));
            return undefined;
          }
          return next(name, words);
        },
      },
    },
  );
  client = starting;
  try {
    await starting.start();
  } catch (error) {
    output.error(String(error));
    // A server that is being replaced is not spoken of.
    if (client === starting) {
      tell(`\`${program} serve\` did not start. Is it a Gudgeon with a language server? \`gudgeon --help\` must list \`serve\`.`);
    }
  }
}

/** Says what is wrong, with a way to where it is put right. */
function tell(message: string): void {
  const [settings, log] = ["Open the setting", "Show the output"];
  void vscode.window.showErrorMessage(message, settings, log).then((chosen) => {
    if (chosen === settings) {
      void vscode.commands.executeCommand("workbench.action.openSettings", `${SECTION}.${PATH}`);
    } else if (chosen === log) {
      output.show(true);
    }
  });
}
