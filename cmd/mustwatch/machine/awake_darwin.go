package machine

import "os/exec"

// wayToStayAwake holds the machine awake for as long as cat reads: caffeinate(8).
func wayToStayAwake() (name string, args []string, why string) {
	name, err := exec.LookPath("caffeinate")
	if err != nil {
		return "", nil, "This computer can fall asleep, and nothing rings then: it has no caffeinate. Set it " +
			"to stay awake."
	}
	return name, []string{"-i", "-s", "cat"}, ""
}
