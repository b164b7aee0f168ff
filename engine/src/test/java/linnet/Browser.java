package linnet;

import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.logging.Level;
import java.util.logging.Logger;
import org.openqa.selenium.By;
import org.openqa.selenium.OutputType;
import org.openqa.selenium.WebElement;
import org.openqa.selenium.chrome.ChromeDriver;
import org.openqa.selenium.chrome.ChromeDriverService;
import org.openqa.selenium.chrome.ChromeOptions;
import org.openqa.selenium.logging.LogEntry;
import org.openqa.selenium.logging.LogType;
import org.openqa.selenium.logging.LoggingPreferences;

/** A real browser without a window. Tests that use it are skipped where Chromium or its driver is missing. */
public final class Browser implements AutoCloseable {
    /** It looks for a typed form of the browser's own protocol, which nothing here uses. Held, as a level is lost with its logger. */
    private static final Logger PROTOCOL = Logger.getLogger("org.openqa.selenium.devtools");

    private final ChromeDriver driver;

    private Browser(Path browser, Path driver) {
        PROTOCOL.setLevel(Level.SEVERE);
        LoggingPreferences logs = new LoggingPreferences();
        logs.enable(LogType.BROWSER, Level.ALL);
        logs.enable(LogType.PERFORMANCE, Level.ALL);
        ChromeOptions options = new ChromeOptions().setBinary(browser.toFile());
        // Headless, as any user (root has no sandbox), without calls home; sound goes to a device that nobody hears.
        options.addArguments("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--disable-background-networking", "--no-first-run",
                "--mute-audio");
        options.setCapability("goog:loggingPrefs", logs);
        this.driver = new ChromeDriver(new ChromeDriverService.Builder().usingDriverExecutable(driver.toFile()).build(), options);
        this.driver.manage().timeouts().scriptTimeout(Duration.ofSeconds(20));
    }

    public static Browser open() {
        Optional<Path> browser = onPath("chromium").or(() -> onPath("chromium-browser"));
        Optional<Path> driver = onPath("chromedriver");
        assumeTrue(browser.isPresent() && driver.isPresent(), "skipped: there is no Chromium with its driver on this machine");
        return new Browser(browser.get(), driver.get());
    }

    private static Optional<Path> onPath(String program) {
        return Arrays.stream(System.getenv().getOrDefault("PATH", "").split(File.pathSeparator)).map(f -> Path.of(f, program)).filter(Files::isExecutable)
                .findFirst();
    }

    /** Opens a file as from disk. */
    public void show(Path page) {
        driver.get(page.toUri().toString());
    }

    /** So many CSS pixels wide, as the device of a reader. */
    public void width(int width, int height) {
        driver.executeCdpCommand("Emulation.setDeviceMetricsOverride", Map.of("width", width, "height", height, "deviceScaleFactor", 1, "mobile", false));
    }

    public void dark(boolean dark) {
        driver.executeCdpCommand("Emulation.setEmulatedMedia",
                Map.of("features", List.of(Map.of("name", "prefers-color-scheme", "value", dark ? "dark" : "light"))));
    }

    public WebElement find(String css) {
        return driver.findElement(By.cssSelector(css));
    }

    public List<WebElement> all(String css) {
        return driver.findElements(By.cssSelector(css));
    }

    /** Presses a key where the focus is. */
    public void press(CharSequence key) {
        driver.switchTo().activeElement().sendKeys(key);
    }

    public Object run(String script, Object... words) {
        return driver.executeScript(script, words);
    }

    /** Runs a script that calls its last argument when it is done. */
    public Object await(String script, Object... words) {
        return driver.executeAsyncScript(script, words);
    }

    public String title() {
        return driver.getTitle();
    }

    /** What the page said to the console. */
    public List<String> console() {
        return driver.manage().logs().get(LogType.BROWSER).getAll().stream().map(LogEntry::toString).toList();
    }

    /** What the browser noted of its traffic. */
    public List<String> traffic() {
        return driver.manage().logs().get(LogType.PERFORMANCE).getAll().stream().map(LogEntry::getMessage).toList();
    }

    public void photograph(Path png) throws IOException {
        Files.write(png, driver.getScreenshotAs(OutputType.BYTES));
    }

    /** A part of the page alone. */
    public void photograph(String css, Path png) throws IOException {
        Files.write(png, find(css).getScreenshotAs(OutputType.BYTES));
    }

    @Override
    public void close() {
        driver.quit();
    }
}
