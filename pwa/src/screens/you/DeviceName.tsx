import { useEffect, useState } from "preact/hooks";
import { deviceName, nameDevice } from "../../actions/nameDevice";
import { TextField } from "../../components/TextField";
import { t } from "../../text";

/** Kept as it is typed, like everything else on this device. */
export function DeviceName() {
  const [name, setName] = useState("");
  useEffect(() => void deviceName().then(setName), []);
  return (
    <section class="you-part">
      <TextField
        label={t("you.device.name")}
        hint={t("you.device.hint")}
        name="device_name"
        value={name}
        onInput={(typed) => {
          setName(typed);
          void nameDevice(typed);
        }}
      />
    </section>
  );
}
