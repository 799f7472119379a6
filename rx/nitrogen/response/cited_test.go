package response

import (
	"testing"

	"ratewright/rx/nitrogen/internal/cited"
)

func TestConstantsAreCited(t *testing.T) { cited.Check(t, 5) }
