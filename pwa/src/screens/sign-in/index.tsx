import "./sign-in.css";
import "../../text/account";
import { useState } from "preact/hooks";
import { useLocation } from "preact-iso/router";
import { Button } from "../../components/Button";
import { Tick } from "../../components/Choice";
import { Icon } from "../../components/Icon";
import { Screen } from "../../components/Screen";
import { TextField } from "../../components/TextField";
import { TopBar } from "../../components/TopBar";
import { session } from "../../local/session";
import { useSync } from "../../queries/sync";
import { t } from "../../text";
import { Form } from "../parts/Form";
import { LiveLost } from "../parts/LiveLost";
import { isComingBack, leadWords } from "./sign-in-form";
import { useSignIn } from "./useSignIn";

/** Signing in needs the network once; from then on this device works without. */
export default function SignIn() {
  const { route } = useLocation();
  const { isBusy, submit, ...state } = useSignIn({ onDone: () => route("/", true) });
  const failure = state.failure && t(state.failure);
  const who = session.value;
  const sync = useSync().value;
  const isBack = isComingBack(who);
  const title = t("sign_in.title");
  return (
    <Screen name={title} top={isBack ? <TopBar title={title} back="/" /> : <Brand />}>
      <Form form={state.form} failure={failure} look="sign-in stack">
        {!isBack && <h1>{title}</h1>}
        <LiveLost />
        <p>{leadWords(who, sync)}</p>
        <Fields {...state} />
        <Button
          kind="primary"
          type="submit"
          onPress={submit}
          notYet={isBusy ? t("sign_in.working") : undefined}
        >
          {t("sign_in.submit")}
        </Button>
      </Form>
      <div class="sign-in stack">
        <p class="quiet-text">{t("sign_in.contractor")}</p>
        <p class="quiet-text">{t("sign_in.safety")}</p>
      </div>
    </Screen>
  );
}

type FieldsProps = Pick<ReturnType<typeof useSignIn>, "fields" | "problems" | "change">;

function Fields({ fields, problems, change }: FieldsProps) {
  const [isShown, setShown] = useState(false);
  return (
    <>
      <TextField
        label={t("sign_in.email")}
        name="email"
        type="email"
        autocomplete="username"
        value={fields.email}
        onInput={(email) => change({ email })}
        error={problems.email && t(problems.email)}
      />
      <TextField
        label={t("sign_in.password")}
        name="password"
        type={isShown ? "text" : "password"}
        autocomplete="current-password"
        value={fields.password}
        onInput={(password) => change({ password })}
        error={problems.password && t(problems.password)}
      />
      <Tick label={t("sign_in.show_password")} checked={isShown} onChange={setShown} />
    </>
  );
}

function Brand() {
  return (
    <p class="sign-in-brand">
      <Icon name="nut" size={40} />
      <span>flarenut</span>
    </p>
  );
}
