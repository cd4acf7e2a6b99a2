package machine

import "os/exec"

// wayToStayAwake is the lock of the service manager, held for as long as cat
// reads: systemd-inhibit(1).
func wayToStayAwake() (name string, args []string, why string) {
	name, err := exec.LookPath("systemd-inhibit")
	if err != nil {
		return "", nil, "This computer can fall asleep, and nothing rings then: it has no systemd-inhibit. Set " +
			"it to stay awake."
	}
	return name, []string{"--what=sleep:idle", "--who=mustwatch", "--why=clocks of the night run", "--mode=block",
		"cat"}, ""
}
