// The zone in which instants are told, in the language of whoever reads.

// format returns what writes an instant with those fields.
export function format(fields) {
  const zone = document.documentElement.dataset.zone;
  try {
    return new Intl.DateTimeFormat(undefined, { ...fields, timeZone: zone });
  } catch {
    // This browser does not know the zone: its own clock, and it says which.
    return new Intl.DateTimeFormat(undefined, { ...fields, timeZoneName: "short" });
  }
}
