import { useEffect, useState } from "preact/hooks";

/** The name of the field that is being typed in: what stands there may be half a number. */
export function useTypedIn(): string | undefined {
  const [name, setName] = useState<string>();
  useEffect(() => {
    const look = () => {
      const { activeElement: on } = document;
      setName(on instanceof HTMLInputElement ? on.name : undefined);
    };
    look();
    document.addEventListener("focusin", look);
    document.addEventListener("focusout", look);
    return () => {
      document.removeEventListener("focusin", look);
      document.removeEventListener("focusout", look);
    };
  }, []);
  return name;
}
