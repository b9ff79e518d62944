/** What is said at the step where it matters. It never replaces the site's rules, and the people who are licensed for the work. */

/** Below this nothing burns that is touched for a moment, °C. */
export const touchable = 50;

export const cautions = {
  source:
    "Hot wells, inserts and probes burn. Never move a hot source, never take a hot insert out, never put water or oil into a dry well. Work on mains is for licensed people; site rules and local codes come first.",
  moveCold: `Everything must be below ${touchable} °C before you touch or move a thermometer. Wait until the reading says so.`,
  moveHot: `The part that comes out of the well is as hot as the source. Hot probes are not moved by hand: let them cool below ${touchable} °C, unless your site's rules give you the procedure and the means for it (holder, gloves, a place to put it).`,
  leave: "A source under heat is not left alone unless the site's rules allow unattended heating.",
  cool: `Leave everything where it is until it is below ${touchable} °C; pack only then.`,
  ice: "Put the thermometer in only when it is near room temperature: a hot probe cracks glass and melts the ice it is to be measured in.",
  ohms: "Another current only within what the thermometer's maker allows; a larger one can damage it.",
} as const;
