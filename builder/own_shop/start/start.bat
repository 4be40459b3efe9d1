@echo off
rem Starts this workshop: see start.py.
cd /d "%~dp0"
where py >nul 2>nul
if errorlevel 1 goto missing
set PYTHONUTF8=1
py -3 start.py %*
if errorlevel 1 pause
exit /b
:missing
echo Python is missing: install Python 3.11 or newer from python.org, with its launcher py.
pause
