package portaudio

import (
	"net"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/jfreymuth/pulse/proto"
)

// outlet asks the sound server, PulseAudio or what speaks as it does, where sound comes out.
// Through ALSA, which is PortAudio's way to it, that is not told.
type outlet struct {
	mu     sync.Mutex
	server *proto.Client // nil for none
	conn   net.Conn
	asked  time.Time // last, where there was none
}

const (
	notAgain = 2 * time.Second // after which a server that was not there is looked for again
	answers  = time.Second     // within which it does
)

// Outlet is where what this program plays comes out: the server's device, and the socket of it.
// It changes while a stream plays where somebody puts headphones in. "" is not known.
func (d *Driver) Outlet() string {
	o := &d.outlet
	o.mu.Lock()
	defer o.mu.Unlock()
	if runtime.GOOS != "linux" || o.server == nil && time.Since(o.asked) < notAgain {
		return ""
	}
	where, err := o.ask()
	if err != nil {
		if o.conn != nil {
			o.conn.Close()
		}
		o.server, o.conn, o.asked = nil, nil, time.Now()
	}
	return where
}

// connect is by hand: proto.Connect leaves Callback unset until a server may have gone, of which
// it is told then.
func (o *outlet) connect() (err error) {
	path := filepath.Join(os.Getenv("XDG_RUNTIME_DIR"), "pulse", "native")
	if server, set := os.LookupEnv("PULSE_SERVER"); set {
		path = strings.TrimPrefix(server, "unix:")
	}
	if o.conn, err = net.Dial("unix", path); err != nil {
		return err
	}
	o.server = &proto.Client{Callback: func(any) {}}
	o.server.Open(o.conn)
	o.server.SetTimeout(answers)
	cookie := make([]byte, 256) // any, where the server knows who asks
	if config, err := os.UserConfigDir(); err == nil {
		if kept, err := os.ReadFile(filepath.Join(config, "pulse", "cookie")); err == nil {
			cookie = kept
		}
	}
	var server proto.AuthReply
	if err := o.server.Request(&proto.Auth{Version: o.server.Version(), Cookie: cookie}, &server); err != nil {
		return err
	}
	o.server.SetVersion(server.Version)
	name := proto.PropList{"application.name": proto.PropListString("Endpin")}
	return o.server.Request(&proto.SetClientName{Props: name}, &proto.SetClientNameReply{})
}

func (o *outlet) ask() (where string, err error) {
	if o.server == nil {
		if err := o.connect(); err != nil {
			return "", err
		}
	}
	var all proto.GetSinkInputInfoListReply
	if err := o.server.Request(&proto.GetSinkInputInfoList{}, &all); err != nil {
		return "", err
	}
	own := strconv.Itoa(os.Getpid())
	for _, x := range all {
		if x.Properties["application.process.id"].String() != own {
			continue
		}
		var sink proto.GetSinkInfoReply
		if err := o.server.Request(&proto.GetSinkInfo{SinkIndex: x.SinkIndex}, &sink); err != nil {
			return "", err
		}
		where = sink.SinkName + " " + sink.ActivePortName
	}
	return where, nil
}
