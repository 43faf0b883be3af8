package command

import (
	"os"
	"os/exec"
	"runtime"
)

// openBrowser asks the system to show an address. Where there is no screen, or
// it fails, the printed address is enough.
func openBrowser(address string) {
	var c *exec.Cmd
	switch runtime.GOOS {
	case "windows":
		c = exec.Command("rundll32", "url.dll,FileProtocolHandler", address)
	case "darwin":
		c = exec.Command("open", address)
	default:
		if os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
			return
		}
		c = exec.Command("xdg-open", address)
	}
	if c.Start() == nil {
		go c.Wait()
	}
}
