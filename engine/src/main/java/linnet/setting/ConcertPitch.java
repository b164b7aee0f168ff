package linnet.setting;

/** The pitch of the A above middle C, in Hz: what all notes are meant at. Its bounds are common practice. */
public final class ConcertPitch {
    public static final double LOWEST = 415, USUAL = 440, HIGHEST = 466;

    private ConcertPitch() {}
}
