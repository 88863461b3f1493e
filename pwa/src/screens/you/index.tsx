import "./you.css";
import "../../text/account";
import { Screen } from "../../components/Screen";
import { TopBar } from "../../components/TopBar";
import { session } from "../../local/session";
import { t } from "../../text";
import { About } from "./About";
import { Appearance } from "./Appearance";
import { DeviceName } from "./DeviceName";
import { InstallCard } from "./InstallCard";
import { SignOut } from "./SignOut";
import { StorageCard } from "./StorageCard";
import { SyncCard } from "./SyncCard";
import { Units } from "./Units";
import { whoWords } from "./who";

/** Who this is, how the screen looks, what lies on this device, and what was not sent yet. */
export default function You() {
  const who = session.value;
  const home = who?.as === "link" ? "/answer" : "/";
  return (
    <Screen
      name={t("you.title")}
      top={<TopBar title={who?.name ?? t("you.title")} under={whoWords(who)} back={home} />}
    >
      <SyncCard />
      <Appearance />
      {who && <Units />}
      <StorageCard />
      <InstallCard />
      {who?.as === "device" && <DeviceName />}
      <About />
      {who && <SignOut />}
    </Screen>
  );
}
