package linnet.step;

/** A kernel that makes each sample of what arrives with it, and of nothing nothing. */
@FunctionalInterface
public interface Memoryless extends Kernel {
    @Override
    default boolean rests() {
        return true;
    }
}
