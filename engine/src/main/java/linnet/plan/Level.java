package linnet.plan;

import linnet.setting.Value;

/** By how much a feed is turned up or down where it is added. */
public sealed interface Level {
    /** As it is. */
    record Unity() implements Level {}

    /** The level of a branch, in dB. */
    record Branch(Value db) implements Level {}

    /** The processed share of a mix, in percent. */
    record Wet(Value percent) implements Level {}

    /** The rest of a mix: what the processed share leaves. */
    record Dry(Value percent) implements Level {}
}
