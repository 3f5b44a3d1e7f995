using System.IO.Ports;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;

namespace PatternCompiler.Cli.Links;

/// <summary>The connection to a receiver: a serial port, any other device or pipe by name, or the standard streams.</summary>
internal sealed class ReceiverLink : IDisposable
{
    private readonly IDisposable[] parts;

    private ReceiverLink(Stream to, Stream from, params IDisposable[] parts)
    {
        To = to;
        From = from;
        this.parts = parts;
    }

    /// <summary>Bytes to the receiver.</summary>
    public Stream To { get; }

    /// <summary>Bytes from the receiver.</summary>
    public Stream From { get; }

    /// <summary>Opens a link.</summary>
    /// <param name="name">Port, device, or "-" for the standard streams.</param>
    /// <param name="baud">Bits per second, or null where the name alone decides whether it is a serial port.</param>
    /// <param name="hardwareFlow">The port's request and clear lines hold back bytes.</param>
    public static ReceiverLink Open(string name, int? baud, bool hardwareFlow)
    {
        const int usualBaud = 115_200;
        try
        {
            if (name == InputFile.StandardName)
            {
                return new ReceiverLink(DescriptorStream.OpenOutput(), InputFile.OpenStandard());
            }

            if (baud is not null || IsSerialPort(name))
            {
                return OpenPort(name, baud ?? usualBaud, hardwareFlow);
            }

            var to = FileSystem.OpenShared(name, FileAccess.Write);
            var from = FileSystem.OpenShared(name, FileAccess.Read);
            return new ReceiverLink(to, from, to);
        }
        catch (Exception fault) when (fault is FileNotFoundException or DirectoryNotFoundException)
        {
            throw new CompileException(CommandCodes.FileNotFound, "there is no such port or device", new SourcePlace(name), "check the cable and the name");
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException or ArgumentException or InvalidOperationException or PlatformNotSupportedException)
        {
            throw new CompileException(
                CommandCodes.CannotWrite, "cannot open: " + FaultText.Of(fault), new SourcePlace(name), "check that it is a port, that no other program has it, and its permissions");
        }
    }

    /// <summary>Closes it. A read in progress ends with the process.</summary>
    public void Dispose()
    {
        foreach (IDisposable part in parts)
        {
            try
            {
                part.Dispose();
            }
            catch (IOException)
            {
                // The cable is out already.
            }
        }
    }

    private static bool IsSerialPort(string name) =>
        name.StartsWith("/dev/tty", StringComparison.Ordinal) ||
        name.StartsWith("/dev/cu.", StringComparison.Ordinal) ||
        (name.StartsWith("COM", StringComparison.OrdinalIgnoreCase) && name[3..].All(char.IsAsciiDigit));

    private static ReceiverLink OpenPort(string name, int baud, bool hardwareFlow)
    {
        var port = new SerialPort(name, baud, Parity.None, 8, StopBits.One)
        {
            Handshake = hardwareFlow ? Handshake.RequestToSend : Handshake.None,
        };
        port.Open();
        return new ReceiverLink(port.BaseStream, port.BaseStream, port);
    }
}
