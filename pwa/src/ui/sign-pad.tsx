/** A signature drawn on the glass, kept as path data; typing the name instead works without hands. */
import { useRef, useState } from "preact/hooks";

interface PadProps {
  label: string;
  again: string;
  value: string;
  onChange: (path: string) => void;
}

const WIDE = 320;
const TALL = 140;

export function SignPad({ label, again, value, onChange }: PadProps) {
  const [line, setLine] = useState("");
  const drawing = useRef(false);
  const point = (event: PointerEvent, step: "M" | "L"): string => {
    const box = (event.currentTarget as Element).getBoundingClientRect();
    const x = ((event.clientX - box.left) / box.width) * WIDE;
    const y = ((event.clientY - box.top) / box.height) * TALL;
    return `${step}${x.toFixed(1)} ${y.toFixed(1)}`;
  };
  const start = (event: PointerEvent) => {
    event.preventDefault();
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    drawing.current = true;
    setLine(point(event, "M"));
  };
  const draw = (event: PointerEvent) => {
    if (drawing.current) setLine((old) => old + point(event, "L"));
  };
  const end = () => {
    if (!drawing.current) return;
    drawing.current = false;
    onChange(value + line);
    setLine("");
  };
  return (
    <div class="pad">
      <svg
        class="pad-glass"
        viewBox={`0 0 ${WIDE} ${TALL}`}
        role="img"
        aria-label={label}
        onPointerDown={start}
        onPointerMove={draw}
        onPointerUp={end}
        onPointerCancel={end}
      >
        <path d="M16 112H304" stroke="var(--line)" stroke-width="2" stroke-dasharray="6 6" />
        <path
          d={value + line}
          fill="none"
          stroke="var(--ink)"
          stroke-width="4"
          stroke-linecap="round"
          stroke-linejoin="round"
        />
      </svg>
      <button type="button" class="btn" onClick={() => onChange("")}>
        {again}
      </button>
    </div>
  );
}
