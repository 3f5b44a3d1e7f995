using System.Collections.Concurrent;

namespace PatternCompiler.Send;

/// <summary>
/// Reads the receiver's messages on a thread of its own, since a read from a link cannot be given a time limit. Bytes
/// that are no message are skipped.
/// </summary>
internal sealed class LinkListener : IReceiverMessages, IDisposable
{
    private const int MostWaiting = 4096;

    private readonly Stream source;
    private readonly BlockingCollection<LinkMessage> messages = new(MostWaiting);

    public LinkListener(Stream source)
    {
        this.source = source;
        new Thread(Listen) { IsBackground = true, Name = "link listener" }.Start();
    }

    /// <inheritdoc/>
    public bool IsGone => messages.IsCompleted;

    /// <inheritdoc/>
    public bool TryTake(out LinkMessage message, TimeSpan timeout, CancellationToken cancellation)
    {
        int milliseconds = (int)Math.Clamp(timeout.TotalMilliseconds, 0, int.MaxValue);
        return messages.TryTake(out message, milliseconds, cancellation);
    }

    /// <summary>The thread ends with the link; what it reads from then on is dropped.</summary>
    public void Dispose() => messages.CompleteAdding();

    private void Listen()
    {
        byte[] buffer = new byte[LinkMessage.Length];
        int used = 0;
        try
        {
            while (source.Read(buffer, used, buffer.Length - used) is int count and > 0)
            {
                used += count;
                used = Digest(buffer, used);
            }
        }
        catch (Exception fault) when (fault is IOException or ObjectDisposedException or InvalidOperationException or OperationCanceledException or UnauthorizedAccessException)
        {
            // A pulled cable shows as a failed read: the same as the end of the link.
        }

        messages.CompleteAdding();
    }

    // Takes a whole message out of the buffer, or moves on to the next byte that could start one.
    private int Digest(byte[] buffer, int used)
    {
        int start = 0;
        while (start < used)
        {
            if (buffer[start] == LinkMessage.Start)
            {
                if (used - start < LinkMessage.Length)
                {
                    break;
                }

                if (LinkMessage.TryParse(buffer.AsSpan(start), out LinkMessage message))
                {
                    // Messages say everything that older ones said, so nothing is lost if nobody takes them.
                    messages.TryAdd(message);
                    start += LinkMessage.Length;
                    continue;
                }
            }

            start++;
        }

        buffer.AsSpan(start, used - start).CopyTo(buffer);
        return used - start;
    }
}
