// Package fetchtest helps to test whoever fetches forecasts: replies of invented
// steady weather in the services' formats, and the ways in which a service can
// fail, by name. Nothing in it is linked into the program.
package fetchtest
