namespace PatternCompiler.Send;

/// <summary>Where a receiver's messages come from: a link, or a script in tests.</summary>
internal interface IReceiverMessages
{
    /// <summary>The receiver's side is gone and every message has been taken.</summary>
    bool IsGone { get; }

    /// <summary>Takes the next message, waiting for it as long as allowed.</summary>
    /// <exception cref="OperationCanceledException">Cancelled before a message came.</exception>
    bool TryTake(out LinkMessage message, TimeSpan timeout, CancellationToken cancellation);
}
