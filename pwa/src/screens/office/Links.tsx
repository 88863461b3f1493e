import { useEffect, useState } from "preact/hooks";
import { type Link, listLinks, type NewLink } from "../../actions/links";
import { Button } from "../../components/Button";
import { Notice } from "../../components/Notice";
import type { Failure } from "../../local/result";
import type { JobRow } from "../../local/rows";
import { t } from "../../text";
import { LinkLine } from "./LinkLine";
import { LinkOnce } from "./LinkOnce";
import { MakeLink } from "./MakeLink";

/** The contractor's links. Making and withdrawing one needs the network: it must count at once. */
export function Links({ job }: { job: JobRow }) {
  const [links, setLinks] = useState<Link[] | null>(null);
  const [failure, setFailure] = useState<Failure | null>(null);
  const [isMaking, setMaking] = useState(false);
  const [made, setMade] = useState<NewLink | null>(null);
  const load = async () => {
    const answer = await listLinks(job.id);
    setFailure(answer.ok ? null : answer);
    if (answer.ok) setLinks(answer.value);
  };
  // The server knows no links of a job that is still on its way.
  useEffect(() => {
    if (!job.pending) void load();
  }, [job.id, job.pending]);

  return (
    <section class="stack">
      <h2 class="section-title">{t("office.links")}</h2>
      <p>{t("office.links_lead")}</p>
      {job.pending && <p class="quiet-text">{t("office.links_pending")}</p>}
      {failure && (
        <Notice kind="doubt">
          <p>{t(failure.code === "offline" ? "office.links_offline" : "office.links_failed")}</p>
          <Button onPress={() => void load()}>{t("office.retry")}</Button>
        </Notice>
      )}
      {links?.length === 0 && <p class="quiet-text">{t("office.links_none")}</p>}
      <ul>
        {links?.map((link) => (
          <LinkLine key={link.id} link={link} onChanged={() => void load()} />
        ))}
      </ul>
      <Button
        icon="plus"
        onPress={() => setMaking(true)}
        notYet={job.pending ? t("office.links_pending") : undefined}
      >
        {t("office.link_new")}
      </Button>
      {isMaking && (
        <MakeLink
          job={job}
          onClose={() => setMaking(false)}
          onMade={(link) => {
            setMaking(false);
            setMade(link);
            void load();
          }}
        />
      )}
      {made && <LinkOnce made={made} onClose={() => setMade(null)} />}
    </section>
  );
}
