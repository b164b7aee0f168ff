package linnet.dsp;

/** Does two things at once, where there is somebody to help. */
public interface Beside {
    Beside ONE_AFTER_THE_OTHER = (one, other) -> {
        one.run();
        other.run();
    };

    /** Comes back when both are done. */
    void both(Runnable one, Runnable other);
}
