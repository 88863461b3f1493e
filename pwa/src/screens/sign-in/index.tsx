import "./sign-in.css";
import { useState } from "preact/hooks";
import { useLocation } from "preact-iso/router";
import { Button } from "../../components/Button";
import { Tick } from "../../components/Choice";
import { Icon } from "../../components/Icon";
import { Screen } from "../../components/Screen";
import { TextField } from "../../components/TextField";
import { t } from "../../text";
import { Form } from "../parts/Form";
import { LiveLost } from "../parts/LiveLost";
import { useSignIn } from "./useSignIn";

/** Signing in needs the network once; from then on this device works without. */
export default function SignIn() {
  const { route } = useLocation();
  const { isBusy, submit, ...state } = useSignIn({ onDone: () => route("/", true) });
  const failure = state.failure && t(state.failure);
  return (
    <Screen name={t("sign_in.title")} top={<Brand />}>
      <Form form={state.form} failure={failure} look="sign-in stack">
        <h1>{t("sign_in.title")}</h1>
        <LiveLost />
        <p>{t("sign_in.lead")}</p>
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
