package words

// probeEnglish is what the reader of temperature loggers says. Each sentence
// follows the place, "soak.csv:12:8: error: ", and each hint stands on a line
// of its own below it. What the command asks with a flag, a probe run of the farm
// has as a key, --dates as dates: a hint names both.
var probeEnglish = map[string]string{
	"probe.more": "{n:count|more place|more places} like this, the last one here",

	// The file.
	"probe.option":   "the option {option:text} is {found:text}; it may be {allowed:text}",
	"probe.large":    "the file is larger than {most:count} MB and was not read",
	"probe.empty":    "the file is empty",
	"probe.utf16":    "the file was saved as UTF-16, not as UTF-8",
	"probe.byte":     "the file is not plain text: byte {byte:text} stands in this line",
	"probe.latin1":   "the file is not UTF-8; it was read as Latin-1",
	"probe.no_table": "no table of readings was found in the first {most:count|line|lines}: no row begins with a time or a number and has a number further on",

	"probe.hint.option": "set it to one of these, or leave it out",
	"probe.hint.large":  "take the part of the log that holds the run, or let the logger write a row less often",
	"probe.hint.table":  "have the logger's program write a table as CSV: a time and one or more temperatures in each row, two rows or more",
	"probe.hint.utf8":   "save the file as CSV in UTF-8",

	// The shape of the table.
	"probe.decimal_mixed": "some numbers have a decimal point and others, such as {found:text}, a decimal comma",
	"probe.comma_twice":   "commas stand between cells here, and may stand in the numbers too: the two cannot be told apart",
	"probe.columns_many":  "the table has {n:count|column|columns}; {most:count} are read at most",
	"probe.line_long":     "the line has {n:count|byte|bytes}; {most:count} are read at most",
	"probe.rows_many":     "the log is too long: {rows:count|row|rows}, or {readings:count|reading|readings} of all channels together, are read at most",
	"probe.row_wide":      "the row has {n:count|cell|cells}, where the first row has {width:count}",
	"probe.header_narrow": "this line above the table names {named:count|column|columns}, and the rows have {width:count}",
	"probe.quote":         "a quote is opened in this line and not closed",
	"probe.footer":        "no time stands in the last {n:count|line|lines}, from here on; what they say was left out",

	"probe.hint.decimal":       "write all numbers with the same decimal mark, and none between thousands",
	"probe.hint.comma_twice":   "write the file with semicolons between cells, or with decimal points; if the numbers are whole ones, let the header name every column",
	"probe.hint.columns_many":  "write the file with fewer channels",
	"probe.hint.line_long":     "check that it is the right file, and that its lines were not joined",
	"probe.hint.rows_many":     "take the part of the log that holds the run",
	"probe.hint.row_wide":      "check the row for a comma or semicolon too many",
	"probe.hint.header_narrow": "name every column there; if the table has no header, delete the lines above its rows",
	"probe.hint.quote":         "close it on the same line, or take it away",

	// Its time.
	"probe.time_column":      "column {column:count} of {columns:count} is no column of times",
	"probe.time_none":        "no column of the table is a time: none holds dates or clock times, and the header names none with its unit",
	"probe.time_of_day_none": "the column of dates, such as {found:text}, has no time of day beside it",
	"probe.time_unit":        "the time in column {column:count} has no unit",
	"probe.time_two":         "the time {found:text} may be hours and minutes, or minutes and seconds",
	"probe.dates":            "the dates, such as {found:text}, may have the month or the day first, and no date of the log tells which",
	"probe.dates_short":      "in the dates, such as {found:text}, the last number changes: it may be the day, with a year of two digits first",
	"probe.time_text":        "\"{found:text}\" is no time such as other rows have; {n:count|line|lines} without one {n:count||stands|stand} between rows here",
	"probe.time_missing":     "{n:count|line|lines} without a time {n:count||stands|stand} between rows here",
	"probe.time_impossible":  "no calendar and no clock has the time {found:text}",
	"probe.time_back":        "the time goes back by {by:amount} to {found:text}, after the row in line {line:count}",
	"probe.time_twice":       "the time {found:text} stands here a second time; the first row with it was kept and this one left out",
	"probe.midnight":         "the clock starts anew at {found:text}; it was read as the next day",
	"probe.gap":              "{gap:amount} lie between this row and the one in line {line:count}; the usual interval is {interval:amount}",

	"probe.hint.time_column":     "name a column of dates, of clock times, or of a number of seconds, minutes or hours, counted from 1",
	"probe.hint.time_none":       "write the time as 2025-03-04 10:30:00 or as 0:10:30, or give its unit in the header, such as Time (min)",
	"probe.hint.time_unit":       "give it in the header, such as Time (s), Time (min) or Time (h)",
	"probe.hint.time_two":        "say it in the header, such as Time (h:mm) or Time (mm:ss)",
	"probe.hint.dates":           "set --dates, or dates of the [[evidence]] in farm.toml, to mdy (month first) or dmy (day first)",
	"probe.hint.dates_short":     "write years with four digits; or, if the year stands last, set --dates, or dates of the [[evidence]] in farm.toml, to mdy or dmy",
	"probe.hint.time_text":       "take these lines out; where the logger was started anew, make a file of each part",
	"probe.hint.time_impossible": "check the row, and the order of day and month: --dates, or dates of the [[evidence]] in farm.toml",
	"probe.hint.time_back":       "make a file of each part where the logger was started anew or its clock was set back",
	"probe.hint.time_twice":      "let the logger write seconds, if it writes more than one row a minute",
	"probe.hint.gap":             "nobody knows how hot it was in between: do not count on that time",

	// Its channels.
	"probe.channel":        "column {column:count} of {columns:count} is no column of temperatures",
	"probe.channel_none":   "no column of the table holds temperatures",
	"probe.channel_empty":  "column {column:count} has no temperature in any row and was left out",
	"probe.unit":           "the temperatures in column {column:count} have no unit; the highest is {highest:text}",
	"probe.unit_overruled": "the file says {file:text}; {option:text} was asked for, and was followed",
	"probe.unit_above":     "column {column:count} was read in {unit:text}, which stands in this line above the table",
	"probe.left_out":       "column {column:count} has no unit of temperature, where others have one; it was left out",
	"probe.left_out_words": "column {column:count} names a unit of temperature and holds words; it was left out",
	"probe.cell_text":      "\"{found:text}\" is no number",
	"probe.cell_unit":      "{found:text} is in another unit than its column, which is in {unit:text}",
	"probe.missing":        "column {column:count} has no reading in {n:count|row|rows}, up to line {last:count}",
	"probe.no_temperature": "column {column:count} has no temperature in {n:count|row|rows}, up to line {last:count}: {found:text} is a code for a broken probe, or lies outside what a sterilizer can have; it was left out",
	"probe.hot":            "the reading is {found:amount}; above {most:amount} no dose is counted, and no vessel of this trade gets so hot",
	"probe.jump":           "the temperature jumps from {before:amount} to {after:amount} within {within:amount}",
	"probe.one_row":        "the table has one row of readings only",
	"probe.no_row":         "no row of the table could be read",

	"probe.hint.channel":         "name columns with temperatures, counted from 1",
	"probe.hint.channel_none":    "check that the file has temperatures, with one decimal mark throughout, and give their unit in the header, such as Core (°C)",
	"probe.hint.channel_empty":   "check that the probe was plugged in",
	"probe.hint.unit":            "set --temperature-unit, or temperature_unit of the [[evidence]] in farm.toml, to C or F, as the logger was set",
	"probe.hint.unit_celsius":    "set --temperature-unit, or temperature_unit of the [[evidence]] in farm.toml, to C or F, as the logger was set; a run in a sterilizer would fit °C",
	"probe.hint.unit_fahrenheit": "set --temperature-unit, or temperature_unit of the [[evidence]] in farm.toml, to C or F, as the logger was set; a run in a sterilizer would fit °F",
	"probe.hint.unit_overruled":  "check how the logger was set",
	"probe.hint.left_out":        "if it is a temperature, give its unit in the header, such as Core (°C)",
	"probe.hint.cell_text":       "correct the cell, or leave it empty where there was no reading",
	"probe.hint.cell_unit":       "set the logger to one unit, and write the file again",
	"probe.hint.missing":         "check the probe and its cable: nobody knows how hot it was there",
	"probe.hint.no_temperature":  "check the probe and its cable: nobody knows how hot it was there",
	"probe.hint.hot":             "leave the cell empty if the probe failed there; if the log is in another unit, set --temperature-unit, or temperature_unit of the [[evidence]] in farm.toml",
	"probe.hint.jump":            "check whether the probe slipped, came out or has a loose cable: this is faster than a bottle heats",
}
