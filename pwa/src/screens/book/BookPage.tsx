import { useLocation } from "preact-iso/router";
import { Button } from "../../components/Button";
import { Screen } from "../../components/Screen";
import { TopBar } from "../../components/TopBar";
import type { JobView } from "../../queries/job";
import { t } from "../../text";
import type { JobPlan } from "../../trade/types";
import { Form } from "../parts/Form";
import { markInvented } from "../parts/invented";
import { LiveSync } from "../parts/LiveSync";
import { useSubmit } from "../parts/useSubmit";
import { Before } from "./Before";
import { Doubts } from "./Doubts";
import { ChosenHour, Proposal } from "./Proposal";
import { useBooking } from "./useBooking";
import { VisitFields } from "./VisitFields";

type Props = { view: JobView; plan: JobPlan };

/** Filled in with the plan's proposal; whoever books it early is told, and may. */
export function BookPage({ view, plan }: Props) {
  const { job } = view;
  const { route } = useLocation();
  const { form, change, save, problems, doubts } = useBooking({ view, plan });
  const back = `/job/${job.id}/office`;
  const { isChecked, submit, isBusy, ...state } = useSubmit({
    isWrong: Object.keys(problems).length > 0,
    save,
    onSaved: () => route(back),
  });
  const isEarly = doubts.some((doubt) => doubt.startsWith("before"));
  return (
    <Screen
      name={t("book.title")}
      top={<TopBar title={t("book.title")} under={markInvented(job.name, { job })} back={back} />}
      bottom={
        <Button kind="primary" onPress={submit} notYet={isBusy ? t("book.booking") : undefined}>
          {t(isEarly ? "book.submit_anyway" : "book.submit")}
        </Button>
      }
    >
      <LiveSync />
      <Proposal job={job} plan={plan} form={form} onTake={change} />
      <Before view={view} plan={plan} />
      <Form form={state.form} failure={state.failure} look="stack office-form">
        <VisitFields form={form} problems={isChecked ? problems : {}} onChange={change}>
          <ChosenHour job={job} plan={plan} form={form} />
          <Doubts doubts={doubts} plan={plan} job={job} />
        </VisitFields>
      </Form>
    </Screen>
  );
}
