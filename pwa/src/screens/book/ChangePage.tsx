import { useLocation } from "preact-iso/router";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { Screen } from "../../components/Screen";
import { TopBar } from "../../components/TopBar";
import { t } from "../../text";
import { Form } from "../parts/Form";
import { markInvented } from "../parts/invented";
import { LiveSync } from "../parts/LiveSync";
import { useSubmit } from "../parts/useSubmit";
import { Doubts } from "./Doubts";
import { ChosenHour, Proposal } from "./Proposal";
import { type OfVisit, useChanging } from "./useChanging";
import { VisitFields } from "./VisitFields";

/** The form that booked the visit, filled in with it. */
export function ChangePage({ view, plan, visit }: OfVisit) {
  const { job } = view;
  const { route } = useLocation();
  const { form, change, save, problems, doubts, isGivenAway } = useChanging({ view, plan, visit });
  const back = `/job/${job.id}/office`;
  const { isChecked, submit, isBusy, ...state } = useSubmit({
    isWrong: Object.keys(problems).length > 0,
    save,
    onSaved: () => route(back),
  });
  return (
    <Screen
      name={t("rebook.title")}
      top={<TopBar title={t("rebook.title")} under={markInvented(job.name, { job })} back={back} />}
      bottom={
        <Button kind="primary" onPress={submit} notYet={isBusy ? t("rebook.saving") : undefined}>
          {t("rebook.submit")}
        </Button>
      }
    >
      <LiveSync />
      <Proposal job={job} plan={plan} form={form} onTake={change} />
      <Form form={state.form} failure={state.failure} look="stack office-form">
        <VisitFields
          form={form}
          problems={isChecked ? problems : {}}
          onChange={change}
          ofPerson={isGivenAway && <GivenAway from={visit.person_name} />}
        >
          <ChosenHour job={job} plan={plan} form={form} />
          <Doubts doubts={doubts} plan={plan} job={job} />
        </VisitFields>
      </Form>
    </Screen>
  );
}

function GivenAway({ from }: { from: string | null }) {
  return (
    <Notice kind="doubt">
      <p>{t("rebook.given_away", { person: from ?? t("board.nobody") })}</p>
    </Notice>
  );
}
