namespace PatternCompiler.Send;

/// <summary>A receiver's faults by the numbers of the stream's specification.</summary>
internal enum ReceiverFault
{
    /// <summary>The header is damaged.</summary>
    Header = 1,

    /// <summary>The stream is not for this machine.</summary>
    OtherMachine = 2,

    /// <summary>A block is damaged.</summary>
    Block = 3,

    /// <summary>A block is missing or doubled.</summary>
    Sequence = 4,

    /// <summary>A record makes no sense.</summary>
    Record = 5,

    /// <summary>Blocks did not come in time.</summary>
    Underrun = 6,

    /// <summary>The totals are not those written.</summary>
    Totals = 7,

    /// <summary>The receiver's own hardware objects.</summary>
    Machine = 8,

    /// <summary>The trigger input's edge has not come within the time that the record allows.</summary>
    Trigger = 9,
}
