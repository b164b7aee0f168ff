package linnet.cli;

/** Something the user asked for that is not done, with the reason and the exit code. */
final class Refusal extends RuntimeException {
    private static final long serialVersionUID = 1;
    private final int code;

    Refusal(int code, String message) {
        super(message);
        this.code = code;
    }

    int code() {
        return code;
    }
}
