import { useState } from "preact/hooks";
import { Button } from "../../components/Button";
import { Choice } from "../../components/Choice";
import { t } from "../../text";
import { wordsFor } from "../parts/unit-words";

type Props = { codes: string[]; picked: string | null; onPick: (code: string) => void };

/** What kind of issue it is. One press picks; the rest of the list then makes room. */
export function PickCategory({ codes, picked, onPick }: Props) {
  const [list, setList] = useState<"open" | "shut">("shut");
  const isShut = picked !== null && list === "shut";
  const shown = isShut ? codes.filter((code) => code === picked) : codes;
  return (
    <div class={isShut ? "pick-category pick-category-shut" : "pick-category"}>
      <Choice
        label={t("log.category")}
        layout="grid"
        value={picked}
        onPick={(code) => {
          onPick(code);
          setList("shut");
        }}
        options={shown.map((code) => ({ value: code, label: wordsFor("category", code) }))}
      />
      {isShut && (
        <Button kind="quiet" onPress={() => setList("open")}>
          {t("log.other_category")}
        </Button>
      )}
    </div>
  );
}
