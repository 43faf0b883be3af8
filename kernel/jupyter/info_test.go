package jupyter

import (
	"strings"
	"testing"
)

func TestKernelInfo(t *testing.T) {
	s := serveKernel(t, freeConnection(t, testKey), Options{Notice: func() string { return "A kernelspec is stale." }})
	c := connectTo(t, s.c)
	a := c.ask("kernel_info_request", map[string]any{})
	lang := a["language_info"].(map[string]any)
	if lang["name"] != "go" || lang["file_extension"] != ".go" || lang["pygments_lexer"] != "go" || lang["codemirror_mode"] != "go" {
		t.Errorf("language %v", lang)
	}
	if a["implementation"] != "tautline" || a["implementation_version"] != "1.2.3" || !strings.HasSuffix(a["banner"].(string), "stale.") {
		t.Errorf("info %v", a)
	}
	ports := c.ask("connect_request", map[string]any{})
	if ports["shell_port"] != float64(s.c.Shell) || ports["hb_port"] != float64(s.c.Heartbeat) {
		t.Errorf("ports %v", ports)
	}
}
