namespace PatternCompiler.Send;

/// <summary>Why an attempt to send ended early; the sender decides what follows from it. Never leaves this room.</summary>
internal sealed class SendInterruption(SendInterruption.Cause cause, string message) : Exception(message)
{
    /// <summary>What happened.</summary>
    public enum Cause
    {
        /// <summary>The receiver reports a fault.</summary>
        Fault,

        /// <summary>The receiver was stopped by somebody else.</summary>
        StoppedThere,

        /// <summary>The receiver gives no sign of life or progress.</summary>
        Silence,

        /// <summary>The link is gone.</summary>
        Gone,

        /// <summary>What the receiver says cannot be true.</summary>
        Doubt,

        /// <summary>The user wants to stop.</summary>
        StopRequested,
    }

    /// <summary>What happened.</summary>
    public Cause Reason => cause;
}
