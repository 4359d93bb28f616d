//! A line to a board: a serial device, or a socket to an emulated one.

#[cfg(any(unix, windows))]
use serial2::SerialPort;
use std::io::{self, ErrorKind, Read, Write};
use std::net::{TcpStream, ToSocketAddrs};
use std::time::Duration;

/// A read gives up after so long; who waits longer reads again.
const READ: Duration = Duration::from_millis(20);

/// A write gives up after so long: a device that takes nothing is broken.
const WRITE: Duration = Duration::from_secs(2);

/// A socket that does not connect.
const CONNECT: Duration = Duration::from_secs(5);

/// A line to a board.
#[derive(Debug)]
pub enum Port {
    /// A serial device.
    #[cfg(any(unix, windows))]
    Serial(SerialPort),
    /// A socket.
    Socket(TcpStream),
}

impl Port {
    /// Opens `tcp:HOST:PORT`, or the serial device of that name: `baud` bit/s, 8 bits, no parity, one stop bit, every byte as
    /// it is. What waits on a device from before is thrown away.
    ///
    /// # Errors
    ///
    /// That of the system.
    pub fn open(name: &str, baud: u32) -> io::Result<Self> {
        if let Some(place) = name.strip_prefix("tcp:") {
            return socket(place).map(Self::Socket);
        }
        serial(name, baud)
    }

    /// Sends all of it.
    ///
    /// # Errors
    ///
    /// That of the system.
    pub fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        match self {
            #[cfg(any(unix, windows))]
            Self::Serial(device) => device.write_all(bytes),
            Self::Socket(stream) => stream.write_all(bytes),
        }
    }

    /// Reads what is there, or waits a moment; none is no error.
    ///
    /// # Errors
    ///
    /// That of the system; a line whose other end is gone is one.
    pub fn read(&mut self, room: &mut [u8]) -> io::Result<usize> {
        let read = match self {
            #[cfg(any(unix, windows))]
            Self::Serial(device) => device.read(room),
            Self::Socket(stream) => stream.read(room),
        };
        match read {
            Ok(0) => Err(io::Error::new(ErrorKind::UnexpectedEof, "the other end is gone")),
            Err(why) if is_nothing(why.kind()) => Ok(0),
            other => other,
        }
    }
}

/// Nothing came in time.
const fn is_nothing(kind: ErrorKind) -> bool {
    matches!(kind, ErrorKind::TimedOut | ErrorKind::WouldBlock | ErrorKind::Interrupted)
}

#[cfg(any(unix, windows))]
fn serial(name: &str, baud: u32) -> io::Result<Port> {
    // A number stands for raw bytes, 8 bits, no parity, one stop bit, no flow control.
    let mut device = SerialPort::open(name, baud)?;
    device.set_read_timeout(READ)?;
    device.set_write_timeout(WRITE)?;
    device.discard_buffers()?;
    Ok(Port::Serial(device))
}

#[cfg(not(any(unix, windows)))]
fn serial(_: &str, _: u32) -> io::Result<Port> {
    Err(io::Error::new(ErrorKind::Unsupported, "there are no serial devices here"))
}

fn socket(place: &str) -> io::Result<TcpStream> {
    let mut last = io::Error::new(ErrorKind::InvalidInput, "it is no HOST:PORT");
    for address in place.to_socket_addrs()? {
        match TcpStream::connect_timeout(&address, CONNECT) {
            Ok(stream) => {
                stream.set_nodelay(true)?;
                stream.set_read_timeout(Some(READ))?;
                stream.set_write_timeout(Some(WRITE))?;
                return Ok(stream);
            }
            Err(why) => last = why,
        }
    }
    Err(last)
}
