/** A late hand comes in: the join code as a QR on the chief's phone, drawn without a network. */
import { useEffect, useRef } from "preact/hooks";
import { session } from "../../app-model";
import { t } from "../../i18n";

const MODULE_PX = 6;
const QUIET = 4; // modules, ISO/IEC 18004

export function LetIn() {
  const code = session.value?.code ?? "";
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    void draw(canvas.current, `${location.origin}/join#${code}`);
  }, [code]);
  return (
    <section class="card stack">
      <h2>{t("phones.let_in")}</h2>
      <canvas ref={canvas} class="codes" role="img" aria-label={t("phones.let_in")} />
      <p class="huge code join-code">{code}</p>
    </section>
  );
}

async function draw(canvas: HTMLCanvasElement | null, text: string): Promise<void> {
  const { default: qrcode } = await import("qrcode-generator");
  const paper = canvas?.getContext("2d");
  if (!canvas || !paper) return;
  const code = qrcode(0, "M");
  code.addData(text);
  code.make();
  const count = code.getModuleCount();
  canvas.width = canvas.height = (count + 2 * QUIET) * MODULE_PX;
  paper.fillStyle = "#fff";
  paper.fillRect(0, 0, canvas.width, canvas.height);
  paper.fillStyle = "#000";
  for (let row = 0; row < count; row += 1)
    for (let column = 0; column < count; column += 1)
      if (code.isDark(row, column))
        paper.fillRect(
          (column + QUIET) * MODULE_PX,
          (row + QUIET) * MODULE_PX,
          MODULE_PX,
          MODULE_PX,
        );
}
