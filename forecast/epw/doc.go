// Package epw reads a typical year of weather: the EnergyPlus weather file, text
// with eight lines of header and a line for each of 8,760 hours, as national
// laboratories publish them for thousands of places (columns and units: EnergyPlus
// Auxiliary Programs, "EnergyPlus Weather File (EPW) Data Dictionary", from
// memory, and seen in TMY3 files).
//
// # What an hour means
//
// Hour h of a day, 1 to 24 in local standard time all year round, is stamped with
// its end. Radiation and rain are totals of the hour before the stamp; temperature,
// humidity, pressure, wind and cloud are what was observed at the stamp. So the
// first line's radiation belongs to [00:00, 01:00) of 1 January, its temperature
// to 01:00.
//
// # What a typical year is not
//
// It is twelve months that really were, each from another year, chosen to be
// usual. It tells how often a thing happens in an ordinary year, and nothing of
// any coming day. Many files have no rain in most of their months: [Year.Forecast]
// then estimates wet hours from damp air, cloud and visibility, and says so.
package epw
