import { useState } from "preact/hooks";
import { downloadTemplate } from "../../actions/downloadTemplate";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import { t } from "../../text";

const FORMATS = ["csv", "xlsx"] as const;

/** The empty sheet with its header row and one example of each kind. */
export function Templates() {
  const [isFailed, setFailed] = useState(false);
  const download = async (format: (typeof FORMATS)[number]) => {
    const saved = await downloadTemplate(format);
    setFailed(!saved.ok);
  };
  return (
    <>
      <div class="actions">
        {FORMATS.map((format) => (
          <Button key={format} kind="quiet" onPress={() => void download(format)}>
            {t(`new_job.template_${format}`)}
          </Button>
        ))}
      </div>
      {isFailed && (
        <Notice kind="doubt" urgency="now">
          <p>{t("new_job.template_offline")}</p>
        </Notice>
      )}
    </>
  );
}
