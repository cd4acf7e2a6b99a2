//go:build !linux && !darwin

package machine

func wayToStayAwake() (name string, args []string, why string) {
	return "", nil, "This computer can fall asleep, and nothing rings then: mustwatch cannot hold it awake " +
		"here. Set it to stay awake."
}
