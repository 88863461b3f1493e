import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { decimalSeparator } from "../format/entry";
import { t } from "../text";

function isNumberField(target: EventTarget | null): target is HTMLInputElement {
  return target instanceof HTMLInputElement && target.dataset.numberField !== undefined;
}

/** The number field that the keys write into, and whether one is in use now. */
function useTarget() {
  const field = useRef<HTMLInputElement | null>(null);
  const [isOpen, setOpen] = useState(false);
  useEffect(() => {
    let isPressing = false;
    const look = () => {
      const focused = document.activeElement;
      if (isNumberField(focused)) field.current = focused;
      // While a finger is down nothing moves: a keypad that left under it would make the press miss.
      if (!isPressing || isNumberField(focused)) setOpen(isNumberField(focused));
    };
    const pressed = () => {
      isPressing = true;
    };
    const lifted = () => {
      isPressing = false;
      setTimeout(look);
    };
    // Between two fields nothing has the focus for a moment: that is not the end.
    const left = () => queueMicrotask(look);
    const heard = { focusin: look, focusout: left, pointerdown: pressed, pointerup: lifted };
    const listened = Object.entries({ ...heard, pointercancel: lifted });
    look();
    for (const [name, act] of listened) document.addEventListener(name, act);
    return () => {
      for (const [name, act] of listened) document.removeEventListener(name, act);
    };
  }, []);
  return { field, isOpen };
}

function write(field: HTMLInputElement, change: () => void): void {
  change();
  field.dispatchEvent(new InputEvent("input", { bubbles: true }));
}

function insert(field: HTMLInputElement, text: string): void {
  const start = field.selectionStart ?? field.value.length;
  const end = field.selectionEnd ?? start;
  write(field, () => field.setRangeText(text, start, end, "end"));
}

function erase(field: HTMLInputElement): void {
  const end = field.selectionEnd ?? field.value.length;
  const start = field.selectionStart ?? end;
  const from = start === end ? Math.max(0, start - 1) : start;
  write(field, () => field.setRangeText("", from, end, "end"));
}

function turnSign(field: HTMLInputElement): void {
  const negative = /^[-−]/.test(field.value);
  write(field, () => {
    field.value = negative ? field.value.slice(1) : `-${field.value}`;
  });
}

function goNext(field: HTMLInputElement): void {
  const all = [...document.querySelectorAll<HTMLInputElement>("[data-number-field]")];
  // What is folded away takes no focus.
  const fields = all.filter((one) => one.getClientRects().length > 0);
  const next = fields[fields.indexOf(field) + 1];
  next?.focus();
  next?.select();
  // After the last one the keypad gives its room to the verdict.
  if (!next) field.blur();
}

type KeyProps = { children: string; label?: string; look?: "digit" | "word"; onKey: () => void };

/** Pressing a key must not take the focus from the field, or the caret is lost. */
function Key({ children, label, look = "digit", onKey }: KeyProps) {
  return (
    <button
      type="button"
      class={look === "word" ? "key key-word" : "key"}
      tabIndex={-1}
      aria-label={label}
      onPointerDown={(event) => event.preventDefault()}
      onClick={onKey}
    >
      {children}
    </button>
  );
}

type Props = {
  /** The last key of the bar: what is done with the numbers. */
  save: ComponentChildren;
  /** "signed" where a number can be below nought. */
  numbers?: "signed" | "unsigned";
};

/**
 * Our own keypad: digits, the separator of the language, delete, next, and a
 * sign where it is wanted. It is there while a number field has the focus; the
 * save key keeps its place, so that it never moves from under the thumb.
 */
export function Keypad({ save, numbers = "unsigned" }: Props) {
  const { field, isOpen } = useTarget();
  const on = (act: (target: HTMLInputElement) => void) => () => {
    const target = field.current;
    if (!target) return;
    if (document.activeElement !== target) target.focus();
    act(target);
  };
  const digit = (text: string) => (
    <Key key={text} onKey={on((target) => insert(target, text))}>
      {text}
    </Key>
  );
  const separator = decimalSeparator();
  return (
    <>
      {isOpen && (
        <fieldset class="keypad" aria-label={t("number.keypad")}>
          {["1", "2", "3", "4", "5", "6", "7", "8", "9"].map(digit)}
          <Key label={t("number.separator")} onKey={on((target) => insert(target, separator))}>
            {separator}
          </Key>
          {digit("0")}
          <Key look="word" onKey={on(erase)}>
            {t("number.delete")}
          </Key>
        </fieldset>
      )}
      <div class="keypad-last">
        {isOpen && numbers === "signed" && (
          <Key label={t("number.sign")} onKey={on(turnSign)}>
            ±
          </Key>
        )}
        {isOpen && (
          <Key look="word" onKey={on(goNext)}>
            {t("number.next")}
          </Key>
        )}
        <div class="key-save" onPointerDown={(event) => event.preventDefault()}>
          {save}
        </div>
      </div>
    </>
  );
}
