package words

// planEnglish is what the command plan says, and what it puts into a calendar.
var planEnglish = map[string]string{
	"command.plan_needs_protocol": "plan takes the name of one protocol, or none for the whole farm; {n:count} were given",

	// Called wrongly.
	"plan.needs_day":    "say from which day, --start 2026-12-01, or for which, --deliver 2027-02-01, and not both",
	"plan.date":         "{flag:text} {found:text} is no day from {first:text} to {last:text}; write year, month and day, such as 2026-12-25",
	"plan.needs_batch":  "--ical needs --batch with the code on the cards: by it a calendar knows the batch again",
	"plan.only_ical":    "{flag:text} has no meaning without --ical",
	"plan.only_farm":    "{flag:text} has no meaning with a protocol: it narrows the plan of the whole farm",
	"plan.only_batch":   "{flag:text} has no meaning without a protocol",
	"plan.week":         "--week {found:text} is no week that can be planned; write year and week, such as 2026-W50",
	"plan.week_or_days": "say which week, --week, or which days, --from and --to, and not both",
	"plan.backwards":    "--to {to:text} is before --from {from:text}",
	"plan.json_or_csv":  "say --json or --csv, and not both",
	"plan.only_deliver": "{flag:text} has no meaning without --deliver",
	"plan.remind":       "--remind {found:text} is no time of the evening before; write one from 04:00 to 23:59, such as 18:00",
	"plan.revision":     "--revision {found:text} is no number of a plan; the first is 0, and each that is handed out has one more",
	"plan.batch":        "--batch {found:text} is no code for a card; 1 to 40 characters in one line are possible",

	// Refused.
	"plan.too_late":       "for a delivery on {delivery:text} the first mix had to be on {start:text}, and it is {today:text}",
	"plan.too_late.hint":  "begun today, it can be delivered on {soonest:text}",
	"plan.no_mixing":      "from {from:text} on no working day has another within {n:count|day|days} after it, for the spawn",
	"plan.no_mixing.hint": "sterilized vessels bear to stand no longer (sterilization.use_within): add a working day to [week] of {file:text}",
	"plan.years":          "a batch that begins or is delivered on {day:text} leaves the years that can be planned, {first:text} to {last:text}",

	// Of the whole farm.
	"plan.no_orders":      "nothing is ordered: there is no {file:text}, or it has no order",
	"plan.no_orders.hint": "write down what is to be delivered, as the README says; or plan one batch: bottlecrop plan PROTOCOL",
	"plan.nothing":        "nothing is planned on those days, so no calendar was written",
	"plan.farm":           "{farm:text}: {what:message}",
	"plan.unplanned":      "Batch {code:text} is under way and not in the plan: its protocol is gone or has errors.",
	"plan.buys_spawn":     "{n:count|batch takes|batches take} grown spawn from elsewhere, for it is too late to begin their own: {batches:text}.",
	"plan.calendar.farm":  "{farm:text}, the season",
	"plan.event.delivery": "Deliver {mass:amount}: {for:text}",
	"season.fix_several":  "several increases together would bring it in time: bottlecrop plan lists them",
	"season.early":        "in time, but picked {n:count|day|days} before, on {date:text}: begun any later it is late, so keep it cold",
	"season.order_late":   "order {order:text}: {late:count} of {n:count|delivery|deliveries} late or not to be had; the worst, of {date:text}: {verdict:message}",

	// Said.
	"plan.title":         "{protocol:text}: {title:text}, {n:count} {vessels:text} to grow",
	"plan.first":         "First mix on {start:text}.",
	"plan.picked":        "Picked by {expected:text} as a rule: {earliest:text} at the soonest, {latest:text} at the latest. Nine of ten batches are picked by {safe:text}.",
	"plan.every_day":     "Every day counts as a working day: {file:text} has no [week].",
	"plan.day":           "{weekday:message}, {date:text}, week {n:count}",
	"plan.several":       "{title:message} (mixed on {date:text})",
	"plan.work":          "{role:message}: {time:amount}",
	"plan.closed":        "a closed day: somebody has to come",
	"plan.past":          "before {today:text}",
	"plan.past.spawn":    "too late to begin: this spawn has to come from elsewhere",
	"plan.due":           "due on {due:text}",
	"plan.over":          "due on {due:text}: it waits {n:count|day|days} longer than it should",
	"plan.window":        "when ripe, from {from:text} to {to:text}",
	"plan.window.closed": "when ripe, from {from:text} to {to:text}; a closed day: somebody has to come",

	"plan.weekday.mon": "Monday",
	"plan.weekday.tue": "Tuesday",
	"plan.weekday.wed": "Wednesday",
	"plan.weekday.thu": "Thursday",
	"plan.weekday.fri": "Friday",
	"plan.weekday.sat": "Saturday",
	"plan.weekday.sun": "Sunday",

	// The farm's own spawn.
	"plan.spawn.plates": "Start {jars:count|plate|plates} for the spawn",
	"plan.spawn.soak":   "Soak the grain for {jars:count|jar|jars} of generation {n:count}",
	"plan.spawn.jars":   "Inoculate {jars:count|jar|jars} of generation {n:count}",

	// In a calendar.
	"plan.calendar": "{farm:text}, {protocol:text}, batch {batch:text}",
	"plan.event":    "{title:message}, {batch:text}",
	"plan.event.of": "{protocol:text}, fingerprint {fingerprint:text}, batch {batch:text}: {n:count} {vessels:text} to grow.",
}
