// Package loss follows the nitrogen of an application by day.
package loss
