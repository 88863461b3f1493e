import { Caution } from "../../components/Caution";
import { TextArea } from "../../components/TextField";
import { t } from "../../text";
import { NewPhotoStrip } from "../parts/NewPhotoStrip";
import { Details } from "./Details";
import { sentence, withCategory } from "./draft";
import { PickCategory } from "./PickCategory";
import type { LogForm } from "./useLog";

/** Photos taken, what it is, what that means, the caution that goes with it, and words. */
export function IssueForm({ form }: { form: LogForm }) {
  const { draft, categories, category } = form;
  const { value, change } = draft;
  return (
    <>
      <NewPhotoStrip photos={value.photos} onChange={change} />
      <PickCategory
        codes={categories.map(({ code }) => code)}
        picked={value.category}
        onPick={(code) => change(withCategory(code))}
      />
      {category && <Details draft={value} category={category} onChange={change} />}
      {category?.cautions.map((code) => (
        <Caution key={code} place="alone">
          {sentence(code)}
        </Caution>
      ))}
      <TextArea
        label={t("log.words")}
        hint={t("log.words_hint")}
        value={value.words}
        onInput={(words) => change({ words })}
      />
    </>
  );
}
