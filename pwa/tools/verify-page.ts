/** Writes verify.html: the page that verifies a record, its script and style inside of it. */
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { build, type Plugin, type Rolldown } from "vite";

const NAME = "verify.html";

export function verifyPage(root: string): Plugin {
  return {
    name: "rowcall-verify-page",
    apply: "build",
    async generateBundle() {
      const script = await scriptOf(`${root}/src/verify/main.ts`);
      const style = readFileSync(`${root}/src/verify/page.css`, "utf8").trim();
      const page = readFileSync(`${root}/src/verify/page.html`, "utf8")
        .replace("%STYLE%", () => style)
        .replace("%SCRIPT%", () => script);
      const policy =
        `default-src 'none'; script-src ${digest(page, "script")}; ` +
        `style-src ${digest(page, "style")}; base-uri 'none'; form-action 'none'`;
      const source = page.replace("%POLICY%", () => policy);
      this.emitFile({ type: "asset", fileName: NAME, source });
    },
  };
}

async function scriptOf(entry: string): Promise<string> {
  const made = (await build({
    configFile: false,
    logLevel: "error",
    build: {
      write: false,
      target: ["chrome100", "firefox102", "safari16"],
      lib: { entry, formats: ["iife"], name: "verify", fileName: "verify" },
    },
  })) as Rolldown.RolldownOutput | Rolldown.RolldownOutput[];
  const code = (Array.isArray(made) ? made[0] : made)?.output[0].code.trim() ?? "";
  if (/<\/script/i.test(code)) throw new Error(`${NAME}: expected no end of a script in its code`);
  return code;
}

/** The source expression of what stands between the tags, to the last blank (CSP 3, 2.3.1). */
function digest(page: string, tag: string): string {
  const inner = new RegExp(`<${tag}>([^]*?)</${tag}>`).exec(page)?.[1];
  if (inner === undefined) throw new Error(`${NAME}: expected a ${tag} in it`);
  return `'sha256-${createHash("sha256").update(inner).digest("base64")}'`;
}
