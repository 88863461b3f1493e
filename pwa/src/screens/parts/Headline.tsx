type Props = {
  words: { head: string; body: string | null };
  issueId: string | null;
  jobId: string;
};

/** What stops, and what can still be done. Pressing it leads to the issue that stops most. */
export function Headline({ words, issueId, jobId }: Props) {
  const inside = (
    <>
      <h2>{words.head}</h2>
      {words.body && <p>{words.body}</p>}
    </>
  );
  if (!issueId) return <section class="headline headline-calm">{inside}</section>;
  return (
    <a class="headline" href={`/job/${jobId}/issue/${issueId}`}>
      {inside}
    </a>
  );
}
