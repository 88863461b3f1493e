/**
 * Every check that can be made on site: where it belongs, what it settles, and the form it is made
 * on. A form is a chunk of its own, fetched when it opens and kept offline like the rest.
 */

import type { ComponentType } from "preact";
import lazy from "preact-iso/lazy";
import type { UnitKind } from "../../local/rows";
import type { FormProps } from "../parts/reading/ReadingScreen";

export type CheckGroup = "supply" | "pipework" | "charge" | "controls" | "ports" | "air" | "gauges";

export const GROUPS: CheckGroup[] = [
  "supply",
  "pipework",
  "charge",
  "controls",
  "ports",
  "air",
  "gauges",
];

export type FormRow = {
  /** The engine's name of it; in the address and on the reading. */
  calculation: string;
  group: CheckGroup;
  /** The kinds of unit that it is made on; none: on the system as a whole. */
  kinds: UnitKind[];
  /** Made on the whole system, yet reached from units of these kinds too, whose step it settles. */
  alsoOn?: UnitKind[];
  /** Only on systems of this kind. */
  only?: "heat_recovery";
  /** The steps from which it is reached. */
  steps: string[];
  /** The step of those that a clear verdict settles, here and on the server. */
  proves: string | null;
  /** Codes of the cautions that stand there before there is a result. */
  cautions: string[];
  /** Where it is, if not at the common address. */
  path?: (at: { jobId: string; unitId: string }) => string;
  Form: ComponentType<FormProps>;
};

type Load = () => Promise<{ default: ComponentType<FormProps> }>;
const form = (load: Load) => lazy(load) as unknown as ComponentType<FormProps>;

const OF_SYSTEM = { kinds: [], proves: null, cautions: [] };

export const FORMS: FormRow[] = [
  {
    calculation: "supply_power",
    group: "supply",
    kinds: ["outdoor_module"],
    steps: ["supply"],
    proves: "supply",
    cautions: ["caution.electric"],
    path: ({ jobId, unitId }) => `/job/${jobId}/supply/${unitId}`,
    Form: form(() => import("../supply/SupplyForm")),
  },
  {
    calculation: "joint_geometry",
    group: "pipework",
    kinds: ["joint", "branch_box"],
    steps: ["joints"],
    proves: "joints",
    cautions: ["caution.height"],
    Form: form(() => import("./forms/JointGeometry")),
  },
  {
    calculation: "pressure_hold",
    group: "pipework",
    kinds: [],
    steps: ["pressure_hold"],
    proves: "pressure_hold",
    cautions: ["caution.pressure"],
    Form: form(() => import("./forms/PressureHold")),
  },
  {
    calculation: "vacuum_stand",
    group: "pipework",
    kinds: [],
    steps: ["standing_vacuum", "evacuation"],
    proves: "standing_vacuum",
    cautions: ["caution.vacuum"],
    Form: form(() => import("./forms/VacuumStand")),
  },
  {
    ...OF_SYSTEM,
    calculation: "extra_charge",
    group: "charge",
    steps: ["charge"],
    cautions: ["caution.refrigerant_handling"],
    Form: form(() => import("./forms/ExtraCharge")),
  },
  {
    ...OF_SYSTEM,
    calculation: "room_limit",
    group: "charge",
    steps: ["charge"],
    cautions: ["caution.refrigerant_handling"],
    Form: form(() => import("./forms/RoomLimit")),
  },
  {
    calculation: "unit_count",
    group: "controls",
    kinds: [],
    steps: ["count"],
    proves: "count",
    cautions: ["caution.electric", "caution.height"],
    Form: form(() => import("./forms/UnitCount")),
  },
  {
    calculation: "addresses",
    group: "controls",
    kinds: [],
    alsoOn: ["indoor_unit"],
    steps: ["addresses"],
    proves: "addresses",
    cautions: [],
    Form: form(() => import("./forms/Addresses")),
  },
  {
    calculation: "port_switches",
    group: "controls",
    kinds: ["branch_box"],
    only: "heat_recovery",
    steps: ["port_switches"],
    proves: null,
    cautions: ["caution.electric", "caution.height"],
    Form: form(() => import("./forms/PortSwitches")),
  },
  {
    calculation: "port_check_read",
    group: "ports",
    kinds: [],
    only: "heat_recovery",
    steps: ["port_check"],
    proves: "port_check",
    cautions: [
      "caution.port_check_maker",
      "caution.port_check_drains",
      "caution.port_check_season",
    ],
    Form: form(() => import("./forms/PortCheck")),
  },
  {
    calculation: "air_side",
    group: "air",
    kinds: ["indoor_unit"],
    steps: ["measure"],
    proves: null,
    cautions: ["caution.height", "caution.moving_fan"],
    Form: form(() => import("./forms/AirSide")),
  },
  {
    ...OF_SYSTEM,
    calculation: "superheat",
    group: "gauges",
    steps: ["measure", "test_run"],
    cautions: ["caution.refrigerant_handling"],
    Form: form(() => import("./forms/Superheat")),
  },
  {
    ...OF_SYSTEM,
    calculation: "subcooling",
    group: "gauges",
    steps: ["measure", "test_run"],
    cautions: ["caution.refrigerant_handling"],
    Form: form(() => import("./forms/Subcooling")),
  },
  {
    ...OF_SYSTEM,
    calculation: "saturation",
    group: "gauges",
    steps: ["measure"],
    Form: form(() => import("./forms/Saturation")),
  },
  {
    ...OF_SYSTEM,
    calculation: "barometer",
    group: "gauges",
    steps: [],
    Form: form(() => import("./forms/Barometer")),
  },
];

export function formOf(calculation: string): FormRow | undefined {
  return FORMS.find((row) => row.calculation === calculation);
}
