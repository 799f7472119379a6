// Package weather reads daily weather from files: maximum and minimum temperature
// and rain, each of which may be missing. A missing value is never a zero.
//
// Three forms are read. ReadDLY takes the native form of NOAA's Global Historical
// Climatology Network - Daily (GHCN-Daily), ReadStationCSV its CSV files of one
// station with or without a header, ReadCSV any table with a header whose columns
// and units the caller names.
//
// Source of columns, elements, units and flags: NOAA, README FILE FOR DAILY GLOBAL
// HISTORICAL CLIMATOLOGY NETWORK (GHCN-DAILY), section III, and
// readme-by_station.txt for the long CSV form, both seen as copies. From memory: the
// names in a first line of the long form; the header of the wide form, the fields of
// its _ATTRIBUTES columns, and that its values are tenths like those of the others.
//
// Every value of a file is used or counted with a reason (Counts). Values that
// failed a check of NOAA, that only presume a zero, or that cannot be, are made
// missing and told in the notes; the readers fill in nothing. A file that contradicts
// itself or is not of its form is refused with file and line.
//
// A day is a date in UTC at midnight and stands for the date in the file. Observers
// who read in the morning enter yesterday's maximum under today's date; a note says
// how far that may concern the file, and Series.Shifted gives the series as it would be.
//
// Series.Scenarios cuts the years of a record into courses that the weather may take
// over the span of a plan, gaps met by stated rules, and joins them to what has been
// observed of the actual year; Soil gives the temperature of the soil from that of the
// air where no sensor does.
package weather
