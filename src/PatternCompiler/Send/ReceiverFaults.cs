namespace PatternCompiler.Send;

/// <summary>What a receiver's faults mean to the sender.</summary>
internal static class ReceiverFaults
{
    /// <summary>The fault in words.</summary>
    public static string Describe(int fault) => (ReceiverFault)fault switch
    {
        ReceiverFault.Header => "the receiver found the header damaged",
        ReceiverFault.OtherMachine => "the stream is not for this receiver",
        ReceiverFault.Block => "the receiver found a block damaged",
        ReceiverFault.Sequence => "the receiver missed a block",
        ReceiverFault.Record => "the receiver found a record that makes no sense",
        ReceiverFault.Underrun => "the receiver waited too long for a block",
        ReceiverFault.Totals => "the receiver counted other totals than the stream states",
        ReceiverFault.Machine => "the receiver's hardware objects",
        ReceiverFault.Trigger => "no edge came to the receiver's trigger input",
        _ => $"the receiver reports fault {fault}",
    };

    /// <summary>True if the link is to blame, so that sending may go on behind what was written.</summary>
    public static bool IsOfLink(int fault) =>
        (ReceiverFault)fault is ReceiverFault.Header or ReceiverFault.Block or ReceiverFault.Sequence or ReceiverFault.Underrun;
}
