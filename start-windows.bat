@echo off
rem Double-click to open the Skeinwright studio.
cd /d "%~dp0"

rem py is the launcher that comes with Python for Windows; python alone may be a shop window, so it is asked for its version first.
py -3 -c "import sys; sys.exit(sys.version_info < (3, 11))" >nul 2>nul
if %errorlevel%==0 (
    py -3 run.py %*
    goto ended
)
python -c "import sys; sys.exit(sys.version_info < (3, 11))" >nul 2>nul
if %errorlevel%==0 (
    python run.py %*
    goto ended
)
echo Skeinwright needs Python 3.11 or newer, and none was found: install Python for Windows from its makers, with the launcher, then start again.
pause
exit /b 2

:ended
if not %errorlevel%==0 pause
