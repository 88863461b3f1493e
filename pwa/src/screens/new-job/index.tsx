import "../office/office.css";
import "../../text/office";
import { useLocation } from "preact-iso/router";
import { Button } from "../../components/Button";
import { Screen } from "../../components/Screen";
import { TopBar } from "../../components/TopBar";
import { t } from "../../text";
import { VisitFields } from "../book/VisitFields";
import { Form } from "../parts/Form";
import { LiveSync } from "../parts/LiveSync";
import { useSubmit } from "../parts/useSubmit";
import { JobFields } from "./JobFields";
import { SheetCheck } from "./SheetCheck";
import { saveJob } from "./save-job";
import { DRAFT_KEY, useJobForm } from "./useJobForm";

/** The job, its as-built sheet and the first visit, on one page; kept as typed until it is created. */
export default function NewJob() {
  const { route } = useLocation();
  const { form, ofJob, ofVisit, missing, change } = useJobForm();
  const { isChecked, submit, ...state } = useSubmit({
    isWrong: missing > 0,
    save: () => saveJob(form, { draftKey: DRAFT_KEY }),
    onSaved: (id) => route(`/job/${id}/office`),
  });
  const title = t("new_job.title");
  return (
    <Screen
      name={title}
      top={<TopBar title={title} back="/board" />}
      bottom={<Create missing={isChecked ? missing : 0} isBusy={state.isBusy} onPress={submit} />}
    >
      <LiveSync />
      <Form form={state.form} failure={state.failure} look="stack office-form">
        <h2 class="section-title">{t("new_job.step_job")}</h2>
        <JobFields form={form} problems={isChecked ? ofJob : {}} onChange={change} />
        <h2 class="section-title">{t("new_job.step_sheet")}</h2>
        <SheetCheck
          sheet={form.sheet}
          error={isChecked ? ofJob.sheet : undefined}
          onSheet={(sheet) => change({ sheet })}
        />
        <h2 class="section-title">{t("new_job.step_visit")}</h2>
        <VisitFields
          form={form.visit}
          problems={isChecked ? ofVisit : {}}
          onChange={(parts) => change({ visit: { ...form.visit, ...parts } })}
        />
      </Form>
    </Screen>
  );
}

function Create({
  missing,
  isBusy,
  onPress,
}: {
  missing: number;
  isBusy: boolean;
  onPress: () => void;
}) {
  return (
    <>
      {missing > 0 && (
        <p class="field-error" role="status">
          {t("new_job.missing", { count: missing })}
        </p>
      )}
      <Button kind="primary" onPress={onPress} notYet={isBusy ? t("new_job.creating") : undefined}>
        {t("new_job.create")}
      </Button>
    </>
  );
}
