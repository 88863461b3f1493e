type Tab = { href: string; word: string; count?: number };

/** The places of a job, under the thumb. The count is part of the name that is read aloud. */
export function TabBar({ tabs, here, label }: { tabs: Tab[]; here: string; label: string }) {
  return (
    <nav class="tab-bar" aria-label={label}>
      {tabs.map(({ href, word, count }) => (
        <a key={href} class="tab" href={href} aria-current={href === here ? "page" : undefined}>
          {word}
          {count !== undefined && <span class="number">{count}</span>}
        </a>
      ))}
    </nav>
  );
}
