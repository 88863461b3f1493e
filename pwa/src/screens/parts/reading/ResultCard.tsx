import "../../../text/checks";
import type { ComponentChildren } from "preact";
import { VerdictCard } from "../../../components/VerdictCard";
import { HARD_SPACE } from "../../../format/number";
import { hasText, t } from "../../../text";
import type { Reason } from "../../../trade/types";
import { figuresOf } from "./figures";
import { codeWords, measuredWords, reasonWords, sentence, type Told } from "./reason-words";
import { toldReasons } from "./told-reasons";
import type { Result } from "./useLive";
import { quantityOf, quantityWords, type UnitsInUse, valueWords } from "./value-words";

type Props = {
  calculation: string;
  result: Result;
  units: UnitsInUse;
  nameOf?: (id: string) => string;
  /** Said instead of the verdict's own word. */
  word?: string;
  /** What to do next, where the form knows more than the engine. */
  next?: string[];
  /** More than the reasons, such as a curve; between figures and reasons. */
  children?: ComponentChildren;
};

/** "Pass", or what exactly failed where the form has words for it. */
export function verdictWords(calculation: string, { verdict, reasons }: Result): string {
  if (!verdict) return t(`calculation.${calculation}` as "calculation.superheat");
  const named = (reasons ?? []).map((one) => `verdict.${verdict}.${one.code}`).find(hasText);
  return named ? t(named) : t(`state.${verdict}`);
}

function told({ calculation, units, nameOf }: Props): Told {
  return nameOf ? { calculation, units, nameOf } : { calculation, units };
}

/** Where there is no room for both, the unit stands whole on the next line. */
function Figure({ words }: { words: string }) {
  const at = words.lastIndexOf(HARD_SPACE);
  if (at < 0) return <>{words}</>;
  return (
    <>
      {words.slice(0, at)} <span class="figure-unit">{words.slice(at + 1)}</span>
    </>
  );
}

/** The numbers asked for, large; their uncertainty with them where it is known. */
function Figures(props: Props) {
  const { calculation, result, units } = props;
  const names = figuresOf(calculation, result);
  if (names.length === 0) return null;
  const doubt = (name: string) => {
    const value = result[`uncertainty${name.slice(name.lastIndexOf("_"))}`];
    const quantity = quantityOf(name, props);
    if (typeof value !== "number" || !quantity || name !== names[0]) return "";
    return ` ± ${quantityWords(value, quantity, units)}`;
  };
  return (
    <dl class="figures">
      {names.map((name) => (
        <div key={name} class="figure">
          <dt>{hasText(`figure.${name}`) ? t(`figure.${name}` as "figure.dew_c") : name}</dt>
          <dd class="number">
            <Figure words={valueWords(name, result[name], told(props))} />
            <small>
              <Figure words={doubt(name)} />
            </small>
          </dd>
        </div>
      ))}
    </dl>
  );
}

/** What the ± beside the first number means, where a calculation has a sentence for it. */
function DoubtNote(props: Props) {
  const { uncertainty_w, uncertainty_pct } = props.result;
  const share = typeof uncertainty_pct === "number" ? "" : ".without_share";
  const key = `doubt.${props.calculation}${share}`;
  const words = sentence(key, { uncertainty_w, uncertainty_pct }, told(props));
  return words ? <p class="quiet-text">{words}</p> : null;
}

/** The number that was measured stands out. */
function Sentence({ reason, told: known }: { reason: Reason; told: Told }) {
  const words = reasonWords(reason, known);
  const number = measuredWords(reason, known);
  const at = number ? words.indexOf(number) : -1;
  if (!number || at < 0) return <>{words}</>;
  return (
    <>
      {words.slice(0, at)}
      <b>{number}</b>
      {words.slice(at + number.length)}
    </>
  );
}

/** Each reason a sentence, with the limit and where it comes from. */
export function ReasonList(props: Props) {
  const reasons = toldReasons(props.result.reasons ?? []);
  if (reasons.length === 0) return null;
  return (
    <ul class="reasons">
      {reasons.map((reason, at) => (
        <li key={`${reason.code}${at}`}>
          <Sentence reason={reason} told={told(props)} />
        </li>
      ))}
    </ul>
  );
}

/** A result as it stands on every screen: word, numbers, reasons, what next, cautions. */
export function ResultCard(props: Props) {
  const { calculation, result, word, children } = props;
  const next = props.next ?? codeWords(result.next);
  return (
    <VerdictCard
      verdict={result.verdict ?? null}
      word={word ?? verdictWords(calculation, result)}
      cautions={codeWords(result.cautions)}
      {...(next.length > 0 ? { next: next.join(" ") } : {})}
    >
      <Figures {...props} />
      <DoubtNote {...props} />
      {children}
      <ReasonList {...props} />
    </VerdictCard>
  );
}
