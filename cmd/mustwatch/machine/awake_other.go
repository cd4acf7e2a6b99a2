//go:build !linux && !darwin

package machine

func wayToStayAwake() (name string, args []string, why string) {
	return "", nil, "This machine may fall asleep: mustwatch cannot hold it awake here. Set it to stay awake."
}
